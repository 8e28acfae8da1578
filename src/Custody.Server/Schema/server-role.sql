-- What the server's role may do less than with other tables, once it may read and write all of them: what was recorded and signed is added to and never changed.
-- {schema} and {role} are replaced. Run by the owner at every start, so that an old grant does not outlive this.
revoke update, delete, truncate on {schema}.mt_events, {schema}.custody_leaf, {schema}.custody_checkpoint, {schema}.custody_fork, {schema}.custody_cosigned_before from {role};
-- A stream's row holds its version, which grows with each entry.
revoke delete, truncate on {schema}.mt_streams from {role};
revoke create on schema {schema} from {role};

namespace Custody.Server.Accounts;

/// <summary>What somebody with an account comes to do. An account may have several.</summary>
public enum AccountRole
{
    /// <summary>Takes bats in, hands them over, prints and voids labels, places and lifts holds.</summary>
    Registrar,

    /// <summary>Builds sales and lots, saleroom notices, results, lot history.</summary>
    Cataloguer,

    /// <summary>Examines, weighs the evidence, gives, revises and withdraws opinions.</summary>
    Examiner,

    /// <summary>Sees their own bats only, and proves their provenance.</summary>
    Owner,

    /// <summary>Reads everything, re-checks the ledger, changes nothing.</summary>
    Auditor,

    /// <summary>Keys, accounts, backup, restore, requests for erasure.</summary>
    Keeper,
}

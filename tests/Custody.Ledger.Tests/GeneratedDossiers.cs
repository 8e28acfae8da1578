using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger.Tests;

/// <summary>Lives and damages made by chance from a seed, for every checker that is tried on the same dossiers.</summary>
static class GeneratedDossiers
{
    public static TestStream<Bat> RandomLife(TestLedger ledger, Samples random)
    {
        var bat = TestDossier.Life(ledger);
        var (holder, other) = (TestDossier.House, TestDossier.Owner); // the first hand-over is under way
        for (var steps = random.Below(12); steps > 0; steps--)
        {
            switch (random.Below(5))
            {
                case 0 when bat.State.Keeping.InTransit is { } n:
                    bat.Do(new ReceiveBat(n, null, Attestation.Account, default, null, IdentityResult.NotChecked, "a hall", null, "as before", null, null) { By = other });
                    (holder, other) = (other, holder);
                    break;
                case 1 when bat.State.Keeping.InTransit is null:
                    bat.Do(TestDossier.Released(other) with { By = holder });
                    break;
                case 2:
                    bat.Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
                    break;
                case 3 when ledger.Earlier.Count < 2:
                    ledger.Rotate();
                    break;
                default:
                    bat.Do(new ReportIncident(default, default, null, AssertionBasis.Letter, [], null, "a barn", "it fell", null) { By = TestDossier.Owner, Occurred = Edtf.Parse("1960?") });
                    break;
            }
        }
        return bat;
    }

    public static byte[] Damaged(byte[] good, Samples random)
    {
        var at = random.Below(good.Length);
        switch (random.Below(4))
        {
            case 0:
                return good[..at];
            case 1:
                return [.. good[..at], (byte)random.Below(256), .. good[at..]];
            case 2:
                return [.. good[..at], .. good[Math.Min(at + 1 + random.Below(40), good.Length)..]];
            default:
                var flipped = (byte[])good.Clone();
                flipped[at] ^= (byte)(1 << random.Below(8));
                return flipped;
        }
    }

    // Bytes, characters that mean something in JSON and notes, or whole lines.
    public static byte[] Changed(byte[] file, Samples random)
    {
        if (file.Length == 0) return [1];
        var at = random.Below(file.Length);
        switch (random.Below(5))
        {
            case 0:
                var flipped = (byte[])file.Clone();
                flipped[at] ^= (byte)(1 << random.Below(8));
                return flipped;
            case 1:
                return file[..at];
            case 2:
                return [.. file[..at], (byte)"{}[],:\"\n 0+"[random.Below(11)], .. file[at..]];
            case 3:
                var lines = file.Text().Split('\n').ToList();
                lines.RemoveAt(random.Below(lines.Count));
                return string.Join('\n', lines).Bytes();
            default:
                var doubled = file.Text().Split('\n').ToList();
                doubled.Insert(random.Below(doubled.Count), doubled[random.Below(doubled.Count)]);
                return string.Join('\n', doubled).Bytes();
        }
    }
}

using System.Text;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Server.Tests.Log;

/// <summary>A change of the log's key, cut short at each step and completed.</summary>
public sealed class KeyChangeTests : IDisposable
{
    const string Origin = "ledger.example";

    readonly string folder = Directory.CreateTempSubdirectory("custody-keys-").FullName;
    readonly string old;
    readonly string promised;

    public KeyChangeTests()
    {
        using var keys = LogKeys.Open(folder, Origin, Passphrase.None, mayMake: true);
        (old, promised) = (keys.Signer.Verifier.Text, keys.NextDigest.Text);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_promised_key_follows_and_promises_another(bool compromised)
    {
        var rotation = Prepared(compromised);
        Assert.True(KeyChange.Complete(folder, Origin, rotation.New.Text, rotation.Next.Text));
        AssertSigns(rotation.New.Text, rotation.Next.Text);
        Assert.False(KeyChange.Complete(folder, Origin, rotation.New.Text, rotation.Next.Text));
    }

    [Fact]
    public void What_was_prepared_and_never_recorded_changes_nothing()
    {
        Prepared();
        Assert.False(KeyChange.Complete(folder, Origin, old, promised));
        AssertSigns(old, promised);
    }

    [Fact]
    public void Prepared_again_it_promises_the_same_key() => Assert.Equal(Prepared().Next, Prepared().Next);

    [Fact]
    public void Cut_short_after_the_signer_it_goes_on()
    {
        var rotation = Prepared();
        File.Copy(Path.Combine(folder, "next"), Path.Combine(folder, "signer"), overwrite: true);
        Assert.True(KeyChange.Complete(folder, Origin, rotation.New.Text, rotation.Next.Text));
        AssertSigns(rotation.New.Text, rotation.Next.Text);
    }

    [Fact]
    public void Cut_short_before_the_last_move_it_goes_on()
    {
        var rotation = Prepared();
        File.Copy(Path.Combine(folder, "next"), Path.Combine(folder, "signer"), overwrite: true);
        File.WriteAllText(Path.Combine(folder, "next.digest"), rotation.Next.Text);
        Assert.True(KeyChange.Complete(folder, Origin, rotation.New.Text, rotation.Next.Text));
        AssertSigns(rotation.New.Text, rotation.Next.Text);
    }

    [Fact]
    public void A_key_kept_elsewhere_is_asked_for_by_name()
    {
        var rotation = Prepared();
        File.Delete(Path.Combine(folder, "next"));
        Assert.Equal("key-away", Assert.Throws<LogFault>(() => KeyChange.Complete(folder, Origin, rotation.New.Text, rotation.Next.Text)).Code);
        Assert.Equal("next-key-away", Assert.Throws<LogFault>(() => Prepared()).Code);
    }

    /// <summary>The note as a checker follows it from the key and the promise before it.</summary>
    KeyRotation Prepared(bool compromised = false)
    {
        using var present = SignerKey.Parse(File.ReadAllText(Path.Combine(folder, "signer")).Trim());
        var note = KeyChange.Prepare(folder, Origin, new Checkpoint(Origin, 7, Hash.Of("root"u8)), compromised, Passphrase.None);
        return KeyRotation.Follow(SignedNote.Parse(Encoding.UTF8.GetBytes(note)), present.Verifier, Hash.Parse(promised));
    }

    void AssertSigns(string key, string next)
    {
        using var keys = LogKeys.Open(folder, Origin, Passphrase.None, mayMake: true);
        Assert.Equal((key, next), (keys.Signer.Verifier.Text, keys.NextDigest.Text));
        using var kept = SignerKey.Parse(File.ReadAllText(Path.Combine(folder, "next")).Trim());
        Assert.Equal(next, kept.Verifier.Digest.Text);
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);
}

using System.Text;
using Custody.Server.Configuring;
using Custody.Server.Log;
using Custody.Server.Operating.Keys;

namespace Custody.Server.Tests.Log;

/// <summary>Key files: who may read them, how they are sealed, how the next key leaves the folder and comes back.</summary>
public sealed class KeyFileTests : IDisposable
{
    const string Origin = "ledger.example";

    readonly string folder = Directory.CreateTempSubdirectory("custody-keys-").FullName;

    string Keys => Path.Combine(folder, "keys");

    [Theory]
    [InlineData("signer")]
    [InlineData("next")]
    public void A_key_that_others_may_read_is_refused_by_name(string name)
    {
        LogKeys.Make(Keys, Origin, Passphrase.None);
        if (OperatingSystem.IsWindows()) return; // Windows keeps no such mode.
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Path.Combine(Keys, name)));
        File.SetUnixFileMode(Path.Combine(Keys, name), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);
        Assert.Equal("key-readable", Assert.Throws<LogFault>(() => KeyFile.Read(Path.Combine(Keys, name), Origin)).Code);
    }

    [Fact]
    public void A_key_that_was_lost_after_something_was_signed_is_not_made_anew()
    {
        Assert.Equal("key-missing", Assert.Throws<LogFault>(() => LogKeys.Open(Keys, Origin, Passphrase.None, mayMake: false)).Code);
        Assert.False(Directory.Exists(Keys));
    }

    [Fact]
    public void A_file_that_holds_no_key_is_refused_and_not_quoted()
    {
        LogKeys.Make(Keys, Origin, Passphrase.None);
        File.WriteAllText(Path.Combine(Keys, "signer"), "PRIVATE+KEY+SECRETWORD");
        var fault = Assert.Throws<LogFault>(() => LogKeys.Open(Keys, Origin, Passphrase.None, mayMake: true));
        Assert.Equal("key-unreadable", fault.Code);
        Assert.DoesNotContain("SECRETWORD", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sealed_key_opens_with_its_passphrase_and_with_no_other()
    {
        LogKeys.Make(Keys, Origin, Said("rosin and pine tar"));
        var path = Path.Combine(Keys, "signer");
        Assert.DoesNotContain("PRIVATE", File.ReadAllText(path), StringComparison.Ordinal);
        var file = KeyFile.Read(path, Origin)!;
        using (var key = file.Open(Said("rosin and pine tar"))) Assert.Equal(file.Verifier.Text, key.Verifier.Text);
        Assert.Equal("passphrase-wrong", Assert.Throws<LogFault>(() => file.Open(Said("rosin and pine")).Dispose()).Code);
        Assert.Equal("key-sealed", Assert.Throws<LogFault>(() => file.Open(Passphrase.None).Dispose()).Code);
    }

    [Theory]
    [InlineData(1)] // another public key in front of the secret
    [InlineData(2)] // cheaper derivation
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    public void A_line_of_a_sealed_key_cannot_be_changed(int line)
    {
        using var other = Custody.Transparency.SignerKey.FromSeed(Origin, new byte[32]);
        LogKeys.Make(Keys, Origin, Said("a"));
        var path = Path.Combine(Keys, "signer");
        var lines = File.ReadAllText(path).Split('\n');
        lines[line] = line switch
        {
            1 => other.Verifier.Text,
            2 => "65535 3",
            _ => Convert.ToBase64String(Flipped(Convert.FromBase64String(lines[line]))),
        };
        File.WriteAllText(path, string.Join('\n', lines));
        Assert.Equal("passphrase-wrong", Assert.Throws<LogFault>(() => KeyFile.Read(path, Origin)!.Open(Said("a")).Dispose()).Code);
    }

    [Fact]
    public void A_sealed_key_that_asks_for_the_whole_memory_is_refused()
    {
        LogKeys.Make(Keys, Origin, Said("a"));
        var path = Path.Combine(Keys, "signer");
        var lines = File.ReadAllText(path).Split('\n');
        lines[2] = "2000000000 3";
        File.WriteAllText(path, string.Join('\n', lines));
        Assert.Equal("key-unreadable", Assert.Throws<LogFault>(() => KeyFile.Read(path, Origin)).Code);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)] // the next key was taken out before the others were sealed
    public void A_change_of_sealed_keys_leaves_sealed_keys(bool nextLiesOpen)
    {
        LogKeys.Make(Keys, Origin, nextLiesOpen ? Passphrase.None : Said("a"));
        var note = KeyChange.Prepare(Keys, Origin, new(Origin, 7, Custody.Transparency.Hash.Of("root"u8)), compromised: false, Said("a"));
        var rotation = Custody.Transparency.KeyRotation.Read(Custody.Transparency.SignedNote.Parse(Encoding.UTF8.GetBytes(note)));
        Assert.True(KeyChange.Complete(Keys, Origin, rotation.New.Text, rotation.Next.Text));
        foreach (var name in new[] { "signer", "next" }) Assert.True(KeyFile.Read(Path.Combine(Keys, name), Origin)!.IsSealed);
    }

    [Fact]
    public void The_next_key_is_taken_out_and_brought_back_and_no_other_is()
    {
        LogKeys.Make(Keys, Origin, Passphrase.None);
        var kept = new FileInfo(Path.Combine(folder, "kept"));
        KeyFiles.Move(Keys, Origin, kept);
        Assert.False(File.Exists(Path.Combine(Keys, "next")));
        Assert.Equal(KeyFile.Read(kept.FullName, Origin)!.Verifier.Digest.Text, File.ReadAllText(Path.Combine(Keys, "next.digest")));
        Assert.Equal("next-key-away", Assert.Throws<LogFault>(() => KeyFiles.Move(Keys, Origin, new FileInfo(Path.Combine(folder, "again")))).Code);
        Assert.Equal("key-not-promised", Assert.Throws<LogFault>(() => KeyFiles.BringBack(Keys, Origin, new FileInfo(Path.Combine(Keys, "signer")))).Code);
        KeyFiles.BringBack(Keys, Origin, kept);
        Assert.True(File.Exists(Path.Combine(Keys, "next")));
        Assert.Equal("file-exists", Assert.Throws<LogFault>(() => KeyFiles.Move(Keys, Origin, kept)).Code);
    }

    [Fact]
    public void A_passphrase_comes_from_a_closed_file_before_the_environment()
    {
        var file = new FileInfo(Path.Combine(folder, "word"));
        Custody.Server.Private.OwnerOnly.ReadOrMake(file.FullName, () => "from the file\n"u8.ToArray());
        string? Environment(string name) => name == Settings.KeyPassphrase.Name ? "from the environment" : null;
        Assert.Equal("from the file", Passphrase.From(file, Environment).ForNew);
        Assert.Equal("from the environment", Passphrase.From(null, Environment).ForNew);
        Assert.Null(Passphrase.From(null, _ => null).ForNew);
        if (OperatingSystem.IsWindows()) return;
        File.SetUnixFileMode(file.FullName, UnixFileMode.UserRead | UnixFileMode.OtherRead);
        Assert.Equal("passphrase-file", Assert.Throws<LogFault>(() => Passphrase.From(file, Environment)).Code);
    }

    static Passphrase Said(string word) => Passphrase.From(null, name => name == Settings.KeyPassphrase.Name ? word : null);

    static byte[] Flipped(byte[] bytes)
    {
        bytes[^1] ^= 1;
        return bytes;
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);
}

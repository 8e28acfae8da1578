using System.Buffers.Text;
using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Tests;

namespace Custody.Benchmarks;

/// <summary>The natively compiled checker, as whole processes, on a small dossier and on one as large as a bat's life could make it; beside it
/// <c>openssl dgst -sha256</c> over the same photographs, in turn, the files in the page cache for both.</summary>
static class Checking
{
    const int SmallEntries = 30, LargeEntries = 10_000, PictureBytes = 4 << 20, Turns = 5;

    public static async Task Measure(Plan plan, Figures figures, CancellationToken ct)
    {
        var folder = Directory.CreateTempSubdirectory("custody-benchmarks-checker-");
        try
        {
            var checker = Path.Combine(folder.FullName, "checker", "custody-verify");
            await Run(Path.Combine(SourceTree.Root, "ops", "publish-checker.sh"), [Path.GetDirectoryName(checker)!], ct);
            var small = Written(folder, "small", SmallEntries, []);
            await Run(checker, [small], ct); // once unmeasured: the program comes from disk
            var (smallSeconds, _) = await Best(() => Run(checker, [small], ct), Turns);
            figures.Below("check_small_ms", smallSeconds * 1000, "ms", 100);

            var pictures = Pictures(folder.CreateSubdirectory("pictures"), plan.Pictures);
            var large = Written(folder, "large", LargeEntries, pictures);
            var hashing = double.MaxValue;
            var (largeSeconds, peakMb) = (double.MaxValue, 0.0);
            for (var turn = 0; turn < Turns; turn++)
            {
                hashing = Math.Min(hashing, (await Run("openssl", ["dgst", "-sha256", .. pictures], ct)).Seconds);
                var told = await Run(checker, [large], ct);
                (largeSeconds, peakMb) = (Math.Min(largeSeconds, told.Seconds), Math.Max(peakMb, told.PeakMb));
            }
            figures.Note("check_large_s", largeSeconds, "s");
            figures.Note("openssl_sha256_s", hashing, "s");
            figures.AtLeast("check_vs_openssl", (hashing + 1) / largeSeconds, "of openssl + 1 s", 0.8);
            figures.Below("check_peak_mb", peakMb, "MB", 200);
        }
        finally
        {
            if (Environment.GetEnvironmentVariable("KEEP") is null) folder.Delete(recursive: true);
        }
    }

    static async Task<(double Seconds, double PeakMb)> Best(Func<Task<(double Seconds, double PeakMb)>> run, int turns)
    {
        var best = await run();
        for (var turn = 1; turn < turns; turn++)
            if (await run() is var next && next.Seconds < best.Seconds) best = next;
        return best;
    }

    /// <summary>Wall time of a whole process, and the most memory it had resident (10^6 bytes), read until it is gone.</summary>
    static async Task<(double Seconds, double PeakMb)> Run(string program, IEnumerable<string> arguments, CancellationToken ct)
    {
        var clock = Stopwatch.StartNew();
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var (output, errors) = (process.StandardOutput.ReadToEndAsync(ct), process.StandardError.ReadToEndAsync(ct));
        var ended = process.WaitForExitAsync(ct);
        var peak = 0.0;
        while (await Task.WhenAny(ended, Task.Delay(50, ct)) != ended) peak = Math.Max(peak, Resident(process.Id));
        await ended;
        var seconds = clock.Elapsed.TotalSeconds;
        if (process.ExitCode != 0) throw new InvalidOperationException($"{program} ended with {process.ExitCode}: {await output}{await errors}");
        return (seconds, peak);
    }

    // proc(5): VmHWM is the peak so far, in kB. The file is gone or empty once the process is.
    static double Resident(int process)
    {
        try
        {
            var line = File.ReadLines($"/proc/{process}/status").FirstOrDefault(l => l.StartsWith("VmHWM:", StringComparison.Ordinal));
            return line is null ? 0 : double.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], CultureInfo.InvariantCulture) * 1024 / 1e6;
        }
        catch (IOException)
        {
            return 0;
        }
    }

    static List<string> Pictures(DirectoryInfo folder, int count)
    {
        var bytes = new byte[PictureBytes];
        List<string> paths = [];
        for (var i = 0; i < count; i++)
        {
            new Random(i).NextBytes(bytes);
            (bytes[0], bytes[1], bytes[2], bytes[3]) = (0xFF, 0xD8, 0xFF, 0xE0); // begins as a JPEG does
            var path = Path.Combine(folder.FullName, $"{i}.jpg");
            File.WriteAllBytes(path, bytes);
            paths.Add(path);
        }
        return paths;
    }

    /// <summary>The dossier of a life of so many entries: photographs first, eight to an entry, then incidents.</summary>
    static string Written(DirectoryInfo folder, string name, int entries, IReadOnlyList<string> pictures)
    {
        using TestLedger ledger = new();
        var bat = ledger.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House));
        List<DossierFile> files = [.. pictures.Select(p => new DossierFile(HashOf(p), "jpg", () => File.OpenRead(p)))];
        foreach (var some in files.Chunk(8))
            bat.Do(new PhotographBat([.. some.Select(f => new PictureOfBat(new(f.Sha256), null, BatView.Detail, Lighting.Ordinary, ScaleShown.Ruler, null, null, null))], null, null) { By = TestDossier.House });
        while (bat.Lines.Count < entries)
            bat.Do(new ReportIncident(default, default, null, AssertionBasis.Letter, [], null, "a barn", "it fell", null) { By = TestDossier.Owner });
        var path = Path.Combine(folder.FullName, $"{name}.dossier.zip");
        using var zip = File.Create(path);
        DossierWriter.Write(zip, new DossierRequest("2031-0007-K", ledger.Contents(bat), [], [.. bat.Show("place").Take(100)], files, []));
        return path;
    }

    static string HashOf(string path)
    {
        using var file = File.OpenRead(path);
        return Base64Url.EncodeToString(SHA256.HashData(file));
    }
}

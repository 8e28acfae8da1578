using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace Custody.Verifier.Tests;

/// <summary>A web server on a port of the loopback interface that answers as the test says.</summary>
sealed class LogOverHttp : IDisposable
{
    readonly HttpListener listener = new();
    readonly Func<string, HttpListenerResponse, byte[]?> answer;

    /// <param name="answer">The body for a path without its first slash, null for 404; may set status and headers before.</param>
    public LogOverHttp(Func<string, HttpListenerResponse, byte[]?> answer)
    {
        this.answer = answer;
        Url = $"http://127.0.0.1:{FreePort()}/";
        listener.Prefixes.Add(Url);
        listener.Start();
        _ = Task.Run(Serve);
    }

    public string Url { get; }

    public ConcurrentQueue<string> Asked { get; } = [];

    /// <summary>A port where nothing answers, until somebody takes it.</summary>
    public static int FreePort()
    {
        using TcpListener probe = new(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }

    async Task Serve()
    {
        while (listener.IsListening)
        {
            try
            {
                var request = await listener.GetContextAsync();
                _ = Task.Run(() => Answer(request));
            }
            catch (Exception stopped) when (stopped is HttpListenerException or ObjectDisposedException)
            {
                return; // the test is over
            }
        }
    }

    void Answer(HttpListenerContext request)
    {
        var path = request.Request.Url!.AbsolutePath[1..];
        Asked.Enqueue(path);
        try
        {
            var body = answer(path, request.Response);
            if (body is null) request.Response.StatusCode = 404;
            else request.Response.OutputStream.Write(body);
            request.Response.Close();
        }
        catch (Exception gone) when (gone is HttpListenerException or IOException or InvalidOperationException)
        {
            // the client had enough and went; that is what some tests are about
        }
    }

    public void Dispose() => ((IDisposable)listener).Dispose();
}

namespace Custody.Server.Web;

/// <summary>A question with a body: read as strictly as a command, and nothing is recorded.</summary>
public interface IAsked;

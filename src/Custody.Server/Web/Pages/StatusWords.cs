namespace Custody.Server.Web.Pages;

/// <summary>What a page says instead of a number when it cannot be shown.</summary>
static class StatusWords
{
    public static (string Title, string Says, string Remedy) Of(int code) => code switch
    {
        400 => ("That could not be read", "Something in the address or the form is not as it must be. Nothing was recorded.", "Go back, load the page again, and send it once more."),
        401 => ("Sign in first", "This page is for people with an account.", "Sign in, and you will be brought back here."),
        403 => ("Not yours to use", "Your account has no role that may use this page. Nothing was recorded.", "Ask the keeper for the role you need."),
        404 => ("There is nothing here", "No page, bat or record of this ledger stands at this address, or it is not yours to see.", "Look the number up again."),
        409 => ("Somebody else came first", "Something else was recorded here at the same moment. Nothing of yours was.", "Read what is new and try again."),
        413 => ("Too large", "What was sent is larger than is taken here. Nothing was kept.", "Send less at a time."),
        429 => ("Too many tries", "There were too many tries or requests in a short time. Nothing was recorded.", "Wait a few minutes."),
        _ => ("Something failed here", "The fault is ours. What was acknowledged before is safe; what you just sent may not have been recorded.", "Try again in a moment; sending a form again records it once."),
    };
}

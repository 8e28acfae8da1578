using System.Text;

namespace Custody.Transparency.Tests;

public class DisclosureTests
{
    const string Salt = "2GLC42sKQveCfGfryNRN9w";

    [Theory] // RFC 9901 sections 4.2.3, 4.2.4.2 and 5.1: contents as printed there, with a space after each comma
    [InlineData("""["_26bc4LT-ac6q2KI6cBW5es", "family_name", "Möbius"]""", "X9yH0Ajrdm1Oij4tWso9UzzKJvPoDxwmuEcO3XAdRC0")]
    [InlineData("""["lklxF5jMYlGTPUovMNIvCA", "FR"]""", "w0I8EKcdCtUPkGCNUrfwVp2xEgNjtoIDlOxc9-PlOhs")]
    [InlineData("""["2GLC42sKQveCfGfryNRN9w", "given_name", "John"]""", "jsu9yVulwQQlhFlM_3JlzMaSFzglhQG0DpfayQwLUK4")]
    public void Published_disclosures_have_the_published_digests(string contents, string digest) =>
        Assert.Equal(digest, Disclosure.Digest(Base64Url.Encode(Encoding.UTF8.GetBytes(contents))));

    [Fact]
    public void The_canonical_spelling_is_the_one_without_white_space_the_standard_lists() =>
        // RFC 9901 section 4.2.1, the variant without white space
        Assert.Equal(
            "WyJfMjZiYzRMVC1hYzZxMktJNmNCVzVlcyIsImZhbWlseV9uYW1lIiwiTcO2Yml1cyJd",
            Base64Url.Encode(Jcs.Write(new Json.Arr("_26bc4LT-ac6q2KI6cBW5es", "family_name", "Möbius"))));

    [Fact]
    public void A_disclosure_reads_back_and_fits_its_digest()
    {
        var value = new Json.Obj(new Json.Member("town", "Dörfles"), new Json.Member("since", 1931));
        var (text, digest) = Disclosure.Make(Salt, "place", value);
        Assert.Equal(new DisclosedValue(Salt, "place", value), Disclosure.Parse(text));
        Assert.Equal(digest, Disclosure.Digest(text));
        Assert.Equal(43, digest.Length);
    }

    [Fact]
    public void A_decoy_is_the_digest_of_its_random_bytes() =>
        // SHA-256 of 32 zero bytes, a known value: 66687aad...f2925
        Assert.Equal(
            "66687aadf862bd776c8fc18b8e9f8e20089714856ee233b3902a591d0d5f2925",
            Convert.ToHexStringLower(Base64Url.Decode(Disclosure.Decoy(new byte[32]))));

    [Theory]
    [InlineData("disclosure.salt", "short", "name")]
    [InlineData("disclosure.salt", "2GLC42sKQveCfGfryNRN9x", "name")] // spare bits
    [InlineData("disclosure.name", Salt, "_sd")]
    [InlineData("disclosure.name", Salt, "...")]
    public void Names_and_salts_the_standard_excludes_are_refused(string code, string salt, string name)
    {
        Refused.With(code, () => Disclosure.Make(salt, name, 1));
        Refused.With(code, () => Disclosure.Parse(Base64Url.Encode(Jcs.Write(new Json.Arr(salt, name, 1)))));
    }

    [Fact]
    public void A_disclosed_value_hides_nothing_further()
    {
        var nested = new Json.Arr(new Json.Obj(new Json.Member("a", new Json.Obj(new Json.Member("_sd", new Json.Arr())))));
        Refused.With("disclosure.nested", () => Disclosure.Make(Salt, "name", nested));
    }

    [Theory]
    [InlineData("json.not-canonical", """["2GLC42sKQveCfGfryNRN9w", "name", 1]""")]
    [InlineData("disclosure.shape", """["2GLC42sKQveCfGfryNRN9w","name"]""")]
    [InlineData("disclosure.shape", """["2GLC42sKQveCfGfryNRN9w","name",1,2]""")]
    [InlineData("disclosure.shape", """["2GLC42sKQveCfGfryNRN9w",1,1]""")]
    [InlineData("disclosure.shape", "{}")]
    [InlineData("json.truncated", "[")]
    public void Other_contents_are_refused(string code, string contents) =>
        Refused.With(code, () => Disclosure.Parse(Base64Url.Encode(Encoding.UTF8.GetBytes(contents))));

    [Fact]
    public void Text_that_is_no_base64url_is_refused()
    {
        var (text, _) = Disclosure.Make(Salt, "name", 1);
        Refused.With("base64url", () => Disclosure.Parse(text + "="));
        Refused.With("disclosure.too-large", () => Disclosure.Parse(new string('A', Disclosure.MaxLength + 1)));
    }
}

namespace Custody.Evidence;

/// <summary>
/// A currency by its ISO 4217 alphabetic code, with the digits of its minor unit. Active codes from the published list (without funds, metals
/// and test codes: nobody pays for a bat in them); historic codes, for prices in old papers, with the digits customary then (from memory).
/// </summary>
public sealed record Currency
{
    const string TwoDigits =
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN " +
        "ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD " +
        "MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS " +
        "SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG";

    const string NoDigits = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF";

    const string ThreeDigits = "BHD IQD JOD KWD LYD OMR TND";

    const string HistoricTwoDigits = "ANG ATS BGN CUC CYP DEM EEK FIM FRF HRK IEP LTL LVL MTL MXP NLG PLZ ROL RUR SIT SKK SLL VEB VEF YUM ZWD ZWL";

    const string HistoricNoDigits = "BEF ESP GRD ITL LUF PTE TRL";

    static readonly Dictionary<string, Currency> All = Of(TwoDigits, 2, false).Concat(Of(NoDigits, 0, false)).Concat(Of(ThreeDigits, 3, false))
        .Concat(Of(HistoricTwoDigits, 2, true)).Concat(Of(HistoricNoDigits, 0, true)).ToDictionary(c => c.Code, StringComparer.Ordinal);

    Currency(string code, int minorDigits, bool isHistoric)
    {
        Code = code;
        MinorDigits = minorDigits;
        IsHistoric = isHistoric;
    }

    /// <summary>Three capital letters.</summary>
    public string Code { get; }

    /// <summary>Digits after the point that an amount can have.</summary>
    public int MinorDigits { get; }

    /// <summary>Whether it is no longer in use.</summary>
    public bool IsHistoric { get; }

    /// <summary>Every code known.</summary>
    public static IReadOnlyCollection<Currency> Known => All.Values;

    /// <summary>The currency of a code, null when unknown. Codes are capital letters.</summary>
    public static Currency? Find(string? code) => code is null ? null : All.GetValueOrDefault(code);

    static IEnumerable<Currency> Of(string codes, int digits, bool historic) => codes.Split(' ').Select(c => new Currency(c, digits, historic));
}

using Microsoft.Playwright;
using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Images;

namespace PoeOps.Core.Tests.Report;

/// <summary>Debian's Chromium, started once for all tests of pages, and closed with them. Nothing is fetched: each page is a file.</summary>
public sealed class ReportBrowser : IAsyncLifetime, IDisposable
{
    private readonly ScratchFolder _folder = new();
    private IPlaywright? _playwright;
    private IBrowser? _browser;
    private int _pages;

    /// <summary>Where the browser is, or null.</summary>
    public static string? Path { get; } = OtherProgram.Find("chromium");

    public async Task InitializeAsync()
    {
        if (Path is null)
        {
            return;
        }

        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new() { ExecutablePath = Path, Args = ["--no-sandbox"] });
    }

    public async Task DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.CloseAsync();
        }

    }

    public void Dispose()
    {
        _playwright?.Dispose();
        _folder.Dispose();
    }

    /// <summary>Opens a page as a file.</summary>
    /// <param name="html">The page.</param>
    /// <param name="width">Of the screen, which is 800 pixels high.</param>
    /// <param name="dark">True for a reader who wants it dark.</param>
    /// <param name="isSealed">False to let the tests' own scripts, and any of the page, run.</param>
    /// <param name="heard">Takes what the page says, asks for or tries.</param>
    public async Task<IPage> Open(string html, int width, bool dark = false, bool isSealed = false, List<string>? heard = null)
    {
        Assert.True(_browser is not null, "'chromium' is not installed, and where CI is 'true' nothing is left out.");
        string file = _folder.Write($"{Interlocked.Increment(ref _pages)}.html", html);
        IBrowserContext context = await _browser.NewContextAsync(new() { ViewportSize = new() { Width = width, Height = 800 }, ColorScheme = dark ? ColorScheme.Dark : ColorScheme.Light, BypassCSP = !isSealed });
        IPage page = await context.NewPageAsync();
        page.Console += (_, message) => heard?.Add($"console: {message.Text}");
        page.PageError += (_, error) => heard?.Add($"error: {error}");
        page.Dialog += (_, dialog) => heard?.Add($"dialog: {dialog.Message}");
        page.Request += (_, request) => heard?.Add($"request: {System.IO.Path.GetFileName(request.Url)}");
        await page.GotoAsync(new Uri(file).AbsoluteUri);
        return page;
    }
}

/// <summary>A fact that needs a browser.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class BrowserFactAttribute : FactAttribute
{
    public BrowserFactAttribute()
    {
        if (ReportBrowser.Path is null && !string.Equals(Environment.GetEnvironmentVariable("CI"), "true", StringComparison.OrdinalIgnoreCase))
        {
            Skip = "'chromium' is not installed; install it to see this run.";
        }
    }
}

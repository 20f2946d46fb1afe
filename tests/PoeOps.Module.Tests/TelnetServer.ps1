# What the files about Telnet and raw TCP share: servers by others on loopback in front of a rehearsal's consoles. Each joins its session to a console with
# socat, in place of the program that would log in; none of them was started by its package.
. "$PSScriptRoot/SshServer.ps1"

$telnetd = @('/usr/local/sbin/telnetd', '/usr/sbin/telnetd') | Where-Object { Test-Path $_ } | Select-Object -First 1
$telnetLacks = @(
    if ($IsWindows) { 'a system that is not Windows' }
    if (-not (Get-Command socat -CommandType Application -ErrorAction SilentlyContinue)) { 'socat' }
    if (-not $telnetd) { 'telnetd (inetutils-telnetd)' }
    if (-not ((Get-Command busybox -CommandType Application -ErrorAction SilentlyContinue) -and (busybox --list) -contains 'telnetd')) { 'busybox with telnetd (busybox-static)' }
)

# The reason to leave the servers out, or nothing; where CI is 'true' nothing is left out.
function Find-TelnetObstacle {
    if ($telnetLacks.Count -gt 0 -and $env:CI -eq 'true') { throw "These are not installed, and where CI is 'true' nothing is left out: $($telnetLacks -join ', ')." }
    if ($telnetLacks.Count -gt 0) { "These are not installed; install them to see this run: $($telnetLacks -join ', ')." }
}

# A server of a kind in front of a console. A 'raw' one passes everything on; one of 'lines' changes CR and LF both ways, as terminals do; any other has an
# echo of its own as well while it asks for user and password, which it hands on to the console.
function Start-TelnetServer([string] $Kind, [int] $Console, [string] $Folder) {
    New-Item -ItemType Directory $Folder -Force | Out-Null
    $port = Get-FreePort
    $link = 'telnet'
    $terminal = if ($Kind -like '*raw*') { '-,raw,echo=0' } elseif ($Kind -like '*lines*') { '-,echo=0,icanon=0' }
    Set-Content "$Folder/join.sh" $(if ($terminal) { "#!/bin/sh`nexec socat $terminal TCP:127.0.0.1:$Console" } else { @"
#!/bin/bash
printf 'Who calls? '; IFS= read -r user
stty -echo; printf 'Secret word? '; IFS= read -r word; stty echo; echo
exec 3<>/dev/tcp/127.0.0.1/$Console
answer() { heard=; while IFS= read -r -n 1 -u 3 c; do heard="`$heard`$c"; case "`$heard" in *"`$1") break;; esac; done; printf '%s\r' "`$2" >&3; }
answer 'Who calls? ' "`$user"
answer 'Secret word? ' "`$word"
exec socat -,echo=0,icanon=0 FD:3
"@ })
    & chmod 755 "$Folder/join.sh"
    switch -Wildcard ($Kind) {
        'busybox*' { $program = 'busybox'; $arguments = 'telnetd', '-F', '-K', '-f', '/dev/null', '-b', "127.0.0.1:$port", '-l', "$Folder/join.sh" }
        'telnetd*' { $program = 'socat'; $arguments = "TCP-LISTEN:$port,bind=127.0.0.1,reuseaddr,fork", "EXEC:$telnetd -h -E $Folder/join.sh,nofork" }
        # A console server: each octet by itself, through a terminal.
        'console*' { $program = 'socat'; $link = 'tcp'; $arguments = '-b1', "TCP-LISTEN:$port,bind=127.0.0.1,reuseaddr,fork,nodelay", "EXEC:socat - TCP\:127.0.0.1\:$Console,pty,raw,echo=0" }
    }

    $start = [Diagnostics.ProcessStartInfo]::new((Get-Command $program -CommandType Application | Select-Object -First 1).Source)
    $arguments | ForEach-Object { $start.ArgumentList.Add($_) }
    $start.RedirectStandardError = $true
    $process = [Diagnostics.Process]::Start($start)
    $server = [pscustomobject]@{ Port = $port; Link = $link; Process = $process; Errors = $process.StandardError.ReadToEndAsync() }
    $watch = [Diagnostics.Stopwatch]::StartNew()
    while (-not (Select-String -Path /proc/net/tcp -Pattern (' 0100007F:{0:X4} 00000000:0000 0A ' -f $port) -Quiet)) {
        if ($watch.Elapsed.TotalSeconds -gt 60 -or $process.HasExited) { throw "$Kind does not listen at ${port}." }
        Start-Sleep -Milliseconds 50
    }

    $server
}

function Stop-TelnetServer($Server) {
    if ($Server -and -not $Server.Process.HasExited) {
        $ids = @(Get-Descendant $Server.Process.Id)
        $Server.Process.Kill()
        $Server.Process.WaitForExit(10000) | Out-Null
        if ($ids) { & kill -KILL @ids 2>$null }
    }
}

# A copy of a rehearsal's estate in which a switch is reached another way.
function New-LinkEstate($Rehearsal, [string] $Path, [string] $Switch, $Server) {
    $estate = Get-Content -Raw $Rehearsal.EstatePath | ConvertFrom-Json
    $one = $estate.sites.switches | Where-Object name -eq $Switch
    $one.link = $Server.Link
    $one.port = $Server.Port
    $estate | ConvertTo-Json -Depth 30 | Set-Content $Path
    $Path
}

# What the files about SSH share: OpenSSH's server on loopback in front of a rehearsal's consoles, with a configuration, host keys and a user of its own,
# and the SSH module: the one that POEOPS_POSHSSH names, else the one that stands in for it.

$sshd = @('/usr/sbin/sshd', '/usr/local/sbin/sshd') | Where-Object { Test-Path $_ } | Select-Object -First 1
$userNames = Get-ChildItem /usr/lib/*/libnss_wrapper.so, /usr/lib/libnss_wrapper.so, /usr/lib64/libnss_wrapper.so -ErrorAction SilentlyContinue | Select-Object -First 1
$sshLacks = @(
    if ($IsWindows) { 'a system that is not Windows' }
    if (-not $sshd) { 'sshd (openssh-server)' }
    if (-not (Get-Command ssh-keygen -CommandType Application -ErrorAction SilentlyContinue)) { 'ssh-keygen (openssh-client)' }
    if (-not (Get-Command socat -CommandType Application -ErrorAction SilentlyContinue)) { 'socat' }
    if (-not $userNames) { 'libnss_wrapper.so (libnss-wrapper)' }
)

# The reason to leave a file out, or nothing; where CI is 'true' nothing is left out.
function Find-SshObstacle {
    if ($sshLacks.Count -gt 0 -and $env:CI -eq 'true') { throw "These are not installed, and where CI is 'true' nothing is left out: $($sshLacks -join ', ')." }
    if ($sshLacks.Count -gt 0) { "These are not installed; install them to see this run: $($sshLacks -join ', ')." }
}

# The folder that holds the SSH module's own.
function Get-SshModulePath([string] $Root) {
    $module = if ($env:POEOPS_POSHSSH) { $env:POEOPS_POSHSSH.TrimEnd('/', '\') } else { "$Root/tests/PoeOps.SshStandIn/bin/Posh-SSH" }
    # A module may lie in a folder of its version.
    if ((Split-Path -Leaf $module) -match '^\d+(\.\d+)+$') { $module = Split-Path $module }
    (Resolve-Path (Split-Path $module)).Path
}

function Get-FreePort {
    $listener = [Net.Sockets.TcpListener]::new([Net.IPAddress]::Loopback, 0)
    $listener.Start()
    $listener.LocalEndpoint.Port
    $listener.Stop()
}

# What a password comes to in the file of shadows: perl is on every Debian, and the password is on no command line.
function Get-PasswordHash([string] $Password) {
    $Password | perl -e 'chomp(my $p = <STDIN>); print crypt($p, q($6$poeops$));'
}

# A server. Each front is a port with the console behind it; a console in braces is logged in to by the server, as where the SSH log-in is the only one. A front of 'files' gives files.
function New-SshServer([string] $Folder, $Rehearsal, [hashtable] $Fronts, [string] $HostKeyType = 'ed25519') {
    New-Item -ItemType Directory $Folder -Force | Out-Null
    $user = $Rehearsal.User
    if (-not (Test-Path "$Folder/host.$HostKeyType")) { ssh-keygen -q -t $HostKeyType -N '' -f "$Folder/host.$HostKeyType" }
    if (-not (Test-Path "$Folder/key")) { ssh-keygen -q -t ed25519 -N 'oil-of-cloves' -f "$Folder/key" }
    $id, $group = (id -u), (id -g)
    Set-Content "$Folder/passwd" @("${user}:x:${id}:${group}::${Folder}:/bin/bash"; 'sshd:x:65533:65534::/run/sshd:/usr/sbin/nologin'; Get-Content /etc/passwd | Where-Object { $_ -notmatch '^sshd:' })
    Set-Content "$Folder/shadow" "${user}:$(Get-PasswordHash $Rehearsal.Password):19000:0:99999:7:::"
    Set-Content "$Folder/front.sh" @"
exec 3<>/dev/tcp/127.0.0.1/`$1
answer() { heard=; while IFS= read -r -n 1 -u 3 c; do heard="`$heard`$c"; case "`$heard" in *"`$1") break;; esac; done; printf '%s\r' "`$2" >&3; }
answer 'Who calls? ' '$user'
answer 'Secret word? ' '$($Rehearsal.Password)'
exec socat -,raw,echo=0 FD:3
"@
    Set-Content "$Folder/config" @(
        $Fronts.Keys | ForEach-Object { "ListenAddress 127.0.0.1:$_" }
        "HostKey $Folder/host.$HostKeyType"
        'PidFile none', 'UsePAM no', 'StrictModes no', 'PermitRootLogin yes', "AuthorizedKeysFile $Folder/key.pub", 'PrintLastLog no', 'PrintMotd no', 'LogLevel VERBOSE', 'MaxStartups 100', 'Subsystem sftp internal-sftp'
        $Fronts.GetEnumerator() | Where-Object Value -ne 'files' | ForEach-Object {
            "Match LocalPort $($_.Key)"
            "    ForceCommand $(if ("$($_.Value)" -match '^\{(\d+)\}$') { "exec bash $Folder/front.sh $($Matches[1])" } else { "exec socat -,raw,echo=0 TCP:127.0.0.1:$($_.Value)" })"
        }
    )
    $server = [pscustomobject]@{ Folder = $Folder; Ports = @($Fronts.Keys); Process = $null; Log = "$Folder/log"; KeyFile = "$Folder/key"; Passphrase = 'oil-of-cloves'; Fingerprint = ((ssh-keygen -lf "$Folder/host.$HostKeyType.pub") -split ' ')[1] }
    Start-SshServer $server
    $server
}

function Start-SshServer($Server) {
    # The place that a server of root's separates its rights in; the package's own start makes it, and nobody has started that.
    if ((id -u) -eq 0) { New-Item -ItemType Directory /run/sshd -Force | Out-Null }
    $start = [Diagnostics.ProcessStartInfo]::new($sshd)
    @('-D', '-f', "$($Server.Folder)/config", '-E', $Server.Log) | ForEach-Object { $start.ArgumentList.Add($_) }
    $start.Environment['LD_PRELOAD'] = $userNames.FullName
    $start.Environment['NSS_WRAPPER_PASSWD'] = "$($Server.Folder)/passwd"
    $start.Environment['NSS_WRAPPER_SHADOW'] = "$($Server.Folder)/shadow"
    $start.Environment['NSS_WRAPPER_GROUP'] = '/etc/group'
    $Server.Process = [Diagnostics.Process]::Start($start)
    foreach ($port in $Server.Ports) {
        $watch = [Diagnostics.Stopwatch]::StartNew()
        while ($true) {
            try {
                [Net.Sockets.TcpClient]::new('127.0.0.1', $port).Dispose()
                break
            }
            catch {
                if ($watch.Elapsed.TotalSeconds -gt 60 -or $Server.Process.HasExited) { throw "sshd does not listen at ${port}: $(Get-Content $Server.Log -ErrorAction SilentlyContinue)" }
                Start-Sleep -Milliseconds 50
            }
        }
    }
}

# The processes that came from one, each behind its own parent; of one name where it is given.
function Get-Descendant([int] $Of, [string] $Name) {
    $parents = @{}
    foreach ($stat in Get-ChildItem /proc -Directory | Where-Object Name -match '^\d+$') {
        $text = Get-Content -Raw "$stat/stat" -ErrorAction SilentlyContinue
        if ($text -match '^(?<id>\d+) \((?<name>.*)\) \S (?<parent>\d+) ') { $parents[[int] $Matches.id] = @{ Parent = [int] $Matches.parent; Name = $Matches.name } }
    }

    $found = [Collections.Generic.List[int]]::new()
    $found.Add($Of)
    for ($at = 0; $at -lt $found.Count; $at++) { $parents.Keys | Where-Object { $parents[$_].Parent -eq $found[$at] } | ForEach-Object { $found.Add($_) } }
    $found | Select-Object -Skip 1 | Where-Object { -not $Name -or $parents[$_].Name -eq $Name }
}

# Ends the processes of the sessions, or those of one name; the server goes on.
function Stop-SshSession($Server, [string] $Name) {
    $ids = @(Get-Descendant $Server.Process.Id $Name)
    if ($ids) { & kill -KILL @ids 2>$null }
    $ids.Count
}

function Stop-SshServer($Server) {
    if ($Server -and -not $Server.Process.HasExited) {
        $ids = @(Get-Descendant $Server.Process.Id)
        $Server.Process.Kill()
        $Server.Process.WaitForExit(10000) | Out-Null
        if ($ids) { & kill -KILL @ids 2>$null }
    }
}

# A copy of a rehearsal's estate in which some switches are reached by SSH: name and port of each.
function New-SshEstate($Rehearsal, [string] $Path, [hashtable] $Ports, [string] $Credential = '') {
    $estate = Get-Content -Raw $Rehearsal.EstatePath | ConvertFrom-Json
    foreach ($switch in $estate.sites.switches | Where-Object { $Ports[$_.name] }) {
        $switch.link = 'ssh'
        $switch.port = $Ports[$switch.name]
        $switch.PSObject.Properties.Remove('credential')
        if ($Credential) { $switch | Add-Member credential $Credential }
    }

    $estate | ConvertTo-Json -Depth 30 | Set-Content $Path
    $Path
}

# The console's port of a switch of a rehearsal.
function Get-ConsolePort($Rehearsal, [string] $Switch) {
    ((Get-Content -Raw $Rehearsal.EstatePath | ConvertFrom-Json).sites.switches | Where-Object name -eq $Switch).port
}

# What the files about secrets share: a search for secrets, in every form in which programs hand texts on, through all that a run left.

# The forms of a secret: as it is, escaped for JSON, URL, XML and our transcripts, Base64 and hexadecimal of UTF-8 and UTF-16.
function Get-SecretForm([string] $Secret) {
    $utf8, $utf16 = [Text.Encoding]::UTF8.GetBytes($Secret), [Text.Encoding]::Unicode.GetBytes($Secret)
    $json = $Secret | ConvertTo-Json
    @(
        $Secret, $Secret.Trim(), $json.Substring(1, $json.Length - 2), [uri]::EscapeDataString($Secret), [Security.SecurityElement]::Escape($Secret), $Secret.Replace('&', '&amp;').Replace('<', '&lt;').Replace('>', '&gt;'), $Secret.Replace('\', '\\')
        [Convert]::ToBase64String($utf8).TrimEnd('='), [Convert]::ToBase64String($utf16).TrimEnd('='), [Convert]::ToHexString($utf8), [Convert]::ToHexString($utf16)
    ) | Select-Object -Unique
}

# The texts that a file holds: its bytes, as UTF-8 and as UTF-16 from either byte on; without line ends, as a device may have wrapped; of a transcript what was said in one piece.
function Get-HeldText([string] $Path) {
    $bytes = [IO.File]::ReadAllBytes($Path)
    $plain = [Text.Encoding]::UTF8.GetString($bytes)
    $plain
    $plain -replace '\r|\n|\\r|\\n'
    foreach ($encoding in [Text.Encoding]::Unicode, [Text.Encoding]::BigEndianUnicode) {
        $encoding.GetString($bytes)
        if ($bytes.Length -gt 1) { $encoding.GetString($bytes, 1, $bytes.Length - 1) }
    }

    if ($Path -like '*.transcript.txt') {
        $said = -join @($plain -split "`n" | Where-Object { $_ -match '^\S+Z < (.*)$' } | ForEach-Object { $Matches[1] })
        $said -replace '\\r|\\n|\\x08\*?|\\x1b\[[0-9;]*[A-Za-z]'
    }
}

# A line for each file beneath a folder that holds a secret in any form, in its name or in what is in it.
function Find-Secret([string] $Folder, [string[]] $Secret) {
    $forms = @($Secret | ForEach-Object { Get-SecretForm $_ } | Where-Object { $_ })
    foreach ($file in Get-ChildItem -Recurse -Force -LiteralPath $Folder) {
        $texts = @($file.Name) + @(if (-not $file.PSIsContainer) { Get-HeldText $file.FullName })
        foreach ($form in $forms) {
            if ($texts | Where-Object { $_.IndexOf($form, [StringComparison]::OrdinalIgnoreCase) -ge 0 }) { "$($file.FullName) holds $form" }
        }
    }
}

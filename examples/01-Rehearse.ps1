# Imports the module from this clone and lists its cmdlets.
$ErrorActionPreference = 'Stop'
Import-Module "$PSScriptRoot/../PoeOps.psd1"
Get-Module PoeOps | Format-Table Name, Version
Get-Command -Module PoeOps

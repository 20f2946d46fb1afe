# A variable that was never set, or a list that came out empty, is refused by the name of its parameter: nobody's code breaks on it, and nothing is taken for "all".
BeforeDiscovery {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    # Credentials and their map may be null, which is "none"; what comes through the pipeline one by one is its own matter.
    $left = 'Credential', 'ElevationCredential', 'CredentialMap', 'InputObject'
    $cases = foreach ($cmdlet in Get-Command -Module PoeOps -CommandType Cmdlet) {
        foreach ($parameter in $cmdlet.Parameters.Values | Where-Object { $_.Name -notin $left -and $_.Name -notin [Management.Automation.Cmdlet]::CommonParameters -and $_.Name -notin [Management.Automation.Cmdlet]::OptionalCommonParameters }) {
            $type = $parameter.ParameterType
            if (-not $type.IsValueType -and -not ($parameter.Attributes | Where-Object { $_ -is [Management.Automation.AllowEmptyStringAttribute] -or $_ -is [ValidateSet] })) {
                @{ Cmdlet = $cmdlet.Name; Name = $parameter.Name; Mandatory = -not ($parameter.ParameterSets.Values | Where-Object { -not $_.IsMandatory }); Checks = @($parameter.Attributes | Where-Object { $_ -is [Management.Automation.ValidateArgumentsAttribute] }) }
            }
        }
    }
}

Describe 'A parameter that is given nothing' {
    It '<Cmdlet> -<Name>' -ForEach $cases {
        # PowerShell itself refuses null where a parameter is mandatory.
        $Mandatory -or @($Checks | Where-Object { $_ -is [Management.Automation.ValidateNotNullOrEmptyAttribute] -or $_ -is [Management.Automation.ValidateNotNullAttribute] }).Count -gt 0 | Should -BeTrue
    }

    It 'is refused with the id of PowerShell: <_>' -ForEach @(
        { Export-PseReport x.html -Plan p.json -Journal $nobody }, { Export-PseReport x.html -Plan $nobody -Journal j.jsonl }, { Get-PseController -Estate e.json -Switch $nobody }
        { Get-PseWindow -Estate e.json -Site $nobody }, { Get-PseController -Estate e.json -Switch @() }, { Start-PseRehearsal -Estate e.json -Mishap $nobody }
        { New-PsePlan p.json -Estate e.json -AcceptLifeSafety $nobody -InputObject $null }, { Measure-PseOutage -Plan p.json -Journal $nobody }
    ) {
        $_ | Should -Throw -ErrorId 'ParameterArgumentValidationError*'
    }
}

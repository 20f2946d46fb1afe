@{
    ModuleVersion          = '0.1.0'
    GUID                   = '7cfe5b89-8a70-46db-b4f3-87e21b676d6f'
    Author                 = 'The PoeOps contributors'
    CompanyName            = 'The PoeOps contributors'
    Copyright              = '(c) The PoeOps contributors. MIT licence.'
    Description            = 'Brings the firmware of PSE controllers in Ethernet switches to the approved level: reads the estate, finds drift, measures who goes dark, plans the windows, rehearses on loopback, refreshes one unit at a time and keeps a journal.'

    PowerShellVersion      = '5.1'
    CompatiblePSEditions   = @('Desktop', 'Core')
    DotNetFrameworkVersion = '4.7.2'

    # NestedModules and no RootModule: with a RootModule in a subfolder Get-Help does not find module/en-US. Nor does it, where the module is imported by a
    # path outside PSModulePath, unless a module that is loaded has its base there: that is what PoeOps.Topics.psd1 is for.
    NestedModules          = @('module/bin/PoeOps.Cmdlets.dll', 'module/PoeOps.Topics.psd1')
    FormatsToProcess       = @('module/PoeOps.Format.ps1xml')
    TypesToProcess         = @('module/PoeOps.Types.ps1xml')

    CmdletsToExport        = @(
        'Get-PseController',
        'Get-PsePort',
        'Test-PseDialect',
        'New-PseDialect',
        'Save-PseCapture',
        'Test-PseDrift',
        'Test-PseImage',
        'Start-PseImageServer',
        'Stop-PseImageServer',
        'Measure-PseOutage',
        'Get-PseWindow',
        'New-PsePlan',
        'Export-PseCalendar',
        'Export-PseNotice',
        'Start-PseRehearsal',
        'Stop-PseRehearsal',
        'Invoke-PseRefresh',
        'Get-PseJournal',
        'Export-PseReport',
        'Get-PseHostKey',
        'Remove-PseHostKey'
    )
    FunctionsToExport      = @()
    AliasesToExport        = @()
    VariablesToExport      = @()

    PrivateData            = @{
        PSData = @{
            Tags         = @('PoE', 'PSE', 'Firmware', 'Switch', 'Maintenance', 'PSEdition_Desktop', 'PSEdition_Core', 'Windows', 'Linux', 'MacOS')
            # The licence is MIT; its text is in the file LICENSE beside this one.
            # Links by SSH want it, and load it when the first such switch is reached. So it is the user's own, and not one of RequiredModules, which are loaded at once.
            ExternalModuleDependencies = @('Posh-SSH')
            ReleaseNotes = 'See CHANGELOG.md.'
        }
    }
}

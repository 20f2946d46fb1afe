@{
    # Brings nothing but its folder, in whose en-US Get-Help finds the topics about_PoeOps. A manifest must have a version; this one says nothing.
    ModuleVersion     = '1.0'
    GUID              = '2f0b6f5c-1d0e-4b7a-9a53-6a4f3c1e8d27'
    Author            = 'The PoeOps contributors'
    Description       = 'The help topics of PoeOps.'
    FunctionsToExport = @()
    CmdletsToExport   = @()
    AliasesToExport   = @()
    VariablesToExport = @()
}

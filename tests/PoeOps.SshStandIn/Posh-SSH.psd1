# For the tests of PoeOps alone: see PoeOps.SshStandIn.csproj.
@{
    ModuleVersion     = '3.900.0'
    GUID              = '0b1a7a55-6a5e-4f6e-9d0b-5f0f6f1e7c11'
    Author            = 'The PoeOps contributors'
    Description       = 'Stands in for the SSH module that users install, in the tests of PoeOps.'
    PowerShellVersion = '7.0'
    NestedModules     = @('PoeOps.SshStandIn.dll')
    CmdletsToExport   = @('New-SSHSession', 'New-SSHShellStream', 'New-SSHMemoryKnownHost', 'Get-SSHSession', 'Remove-SSHSession',
        'New-SFTPSession', 'New-SFTPFileStream', 'Remove-SFTPSession', 'Get-SCPItem')
    FunctionsToExport = @()
    AliasesToExport   = @()
    VariablesToExport = @()
}

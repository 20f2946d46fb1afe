using System.Reflection;
using PoeOps.Help;

// PoeOps.Help ASSEMBLY FILE: reads the built assembly of cmdlets, with its XML documentation beside it, and writes the file that Get-Help reads.
if (args.Length != 2)
{
    Console.Error.WriteLine("Two arguments are wanted: the built assembly of cmdlets, with its XML documentation beside it, and the help file to write.");
    return 2;
}

if (!File.Exists(args[0]) || !File.Exists(Path.ChangeExtension(args[0], ".xml")))
{
    Console.Error.WriteLine($"'{args[0]}' or its XML documentation does not exist. Build the cmdlets first.");
    return 2;
}

var reader = new CmdletReader(Assembly.LoadFrom(Path.GetFullPath(args[0])));
MamlFile.Write(args[1], reader.Cmdlets());
return 0;

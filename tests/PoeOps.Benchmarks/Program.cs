using System.Globalization;
using PoeOps.Benchmarks;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
switch (args)
{
    case []:
    case ["reading"]:
        ReadingSpeed.Run();
        return 0;
    case ["outage"]:
        OutageSpeed.Run();
        return 0;
    case ["plan"]:
        PlanSpeed.Run();
        return 0;
    case ["risk"]:
        RiskSpeed.Run();
        return 0;
    case ["refresh", ..]:
        RefreshSpeed.Run(args.Length > 1 ? double.Parse(args[1], CultureInfo.InvariantCulture) : 1);
        return 0;
    case ["consoles", ..]:
        ManyConsoles.Run(Count(200));
        return 0;
    case ["fuzz-captures", ..]:
        return ReadingFuzz.Captures(Count(1_000_000), Seed());
    case ["fuzz-dialects", ..]:
        return ReadingFuzz.Dialects(Count(100_000), Seed());
    case ["tftp"]:
        TftpSpeed.Run();
        return 0;
    case ["fuzz-tftp", ..]:
        return TftpFuzz.Packets(Count(1_000_000), Seed());
    case ["flood-tftp", ..]:
        return TftpFuzz.Flood(Count(1_000_000), Seed());
    case ["fuzz-telnet", ..]:
        return TelnetFuzz.Run(Count(1_000_000), Seed());
    case ["serve", var path]:
        return TftpMemory.Run(path);
    case ["fuzz-snmp", ..]:
        return ReadingFuzz.Messages(Count(1_000_000), Seed());
    case ["snmp-agents", var agents, var ports]:
        return SnmpAgents.Run(int.Parse(agents, CultureInfo.InvariantCulture), int.Parse(ports, CultureInfo.InvariantCulture));
    case ["snmp", ..]:
        return SnmpSpeed.Run(args.Length > 1 ? int.Parse(args[1], CultureInfo.InvariantCulture) : 500);
    case ["report", ..]:
        return ReportSpeed.Run(Count(2000));
    case ["import", ..]:
        return ImportSpeed.Run(Count(10));
    case ["read", var dialect, var capture]:
        return OneReading.Read(dialect, capture);
    case ["cover", var dialect, var capture]:
        return OneReading.Cover(dialect, capture);
    default:
        Console.WriteLine("reading | outage | plan | risk | refresh [SPEED] | consoles [COUNT] | tftp | fuzz-captures [COUNT [SEED]] | fuzz-dialects [COUNT [SEED]] | fuzz-tftp [COUNT [SEED]] | flood-tftp [COUNT [SEED]] | fuzz-telnet [COUNT [SEED]] | snmp [AGENTS] | report [UNITS] | import [TURNS] | fuzz-snmp [COUNT [SEED]] | read DIALECT CAPTURE | cover DIALECT CAPTURE | serve FILE");
        return 2;
}

int Count(int usual) => args.Length > 1 ? int.Parse(args[1], CultureInfo.InvariantCulture) : usual;

int Seed() => args.Length > 2 ? int.Parse(args[2], CultureInfo.InvariantCulture) : 1;

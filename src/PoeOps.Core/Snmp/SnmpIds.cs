using System.Security.Cryptography;

namespace PoeOps.Snmp;

/// <summary>Numbers for requests and messages that nobody can guess, so that nobody can answer who has not heard the question.</summary>
internal static class SnmpIds
{
    private static readonly RandomNumberGenerator Chance = RandomNumberGenerator.Create();

    /// <summary>A number from 1 to 2147483647.</summary>
    public static int Next()
    {
        byte[] octets = new byte[4];
        int number = 0;
        while (number == 0)
        {
            Chance.GetBytes(octets);
            number = BitConverter.ToInt32(octets, 0) & int.MaxValue;
        }

        return number;
    }
}

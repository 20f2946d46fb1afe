using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Keys, digests and encryption against published vectors.</summary>
public sealed class UserSecurityTests
{
    private static readonly byte[] Engine = Convert.FromHexString("000000000000000000000002");

    private static string Hex(byte[] octets) => Convert.ToHexString(octets).ToLowerInvariant();

    // MD5 and SHA-1: RFC 3414 appendix A.3.1 and A.3.2. The others: computed with Python's hashlib and with net-snmp 5.9.3 (RFC 7860 prints none).
    [Theory]
    [InlineData(AuthProtocol.Md5, "9faf3283884e92834ebc9847d8edd963", "526f5eed9fcce26f8964c2930787d82b")]
    [InlineData(AuthProtocol.Sha1, "9fb5cc0381497b3793528939ff788d5d79145211", "6695febc9288e36282235fc7151f128497b38f3f")]
    [InlineData(AuthProtocol.Sha224, "282a5867ee9aac639ad59df9572c7d3ac0fbc13a905b6df07dbbf00b", "0bd8827c6e29f8065e08e09237f177e410f69b90e1782be682075674")]
    [InlineData(AuthProtocol.Sha256, "ab51014d1e077f6017df2b12bee5f5aa72993177e9bb569c4dff5a4ca0b4afac", "8982e0e549e866db361a6b625d84cccc11162d453ee8ce3a6445c2d6776f0f8b")]
    [InlineData(AuthProtocol.Sha384, "e06eccdf2c68a06ed034723c9c26e0db3b669e1e2efed49150b55377a2e98f383c86fb836857444654b287c93f51ff64", "3b298f16164a11184279d5432bf169e2d2a48307de02b3d3f7e2b4f36eb6f0455a53689a3937eea07319a633d2ccba78")]
    [InlineData(AuthProtocol.Sha512, "7e4396de5aadc77be853819b98c9406265b3a9c37cc3176569847a4e4f6fba63dd3a73d04924d31a63f95a601f9385af6be4ed1b37f87d040f7c6ed6f8d38a91", "22a5a36cedfcc085807a128d7bc6c2382167ad6c0dbc5fdff856740f3d84c099ad1ea87a8db096714d9788bd544047c9021e4229ce27e4c0a69250adfcffbb0b")]
    public void Keys_of_a_password(AuthProtocol protocol, string key, string localised)
    {
        var password = new PasswordKey(protocol, "maplesyrup");
        Assert.Equal((key, localised), (Hex(password.Key()), Hex(password.ForEngine(Engine))));
    }

    // Computed with Python's hashlib (OpenSSL): the octets 0, 1, 2 and so on, in counts around the end of a block.
    [Theory]
    [InlineData(0, "d14a028c2a3a2bc9476102bb288234c415a2b01f828ea62ac5b3e42f")]
    [InlineData(55, "8991dfba74284e04dc7581c7c3e4068ff6cb7a63733361429834bb56")]
    [InlineData(56, "2b2cd637c16ad7290bb067ad7d8fd04e204fa43a84366afc7130f4ef")]
    [InlineData(63, "049e8dd7eab3378ce9f823bfb569e5b270235d4b7f9623606971998f")]
    [InlineData(64, "c37b88a3522dbf7ac30d1c68ea397ac11d4773571aed01ddab73531e")]
    [InlineData(119, "762f18c0df65c3d0ea64126c8a6e51db4425e76d4d969ed0f83899be")]
    [InlineData(120, "d022deb78772a77e8b91d68f90ca1f636e8fe047ae219434ced18eef")]
    public void Sha224_at_the_ends_of_blocks(int count, string digest)
    {
        using var hash = new Sha224();
        Assert.Equal(digest, Hex(hash.ComputeHash([.. Enumerable.Range(0, count).Select(one => (byte)one)])));
        Assert.Equal("23097d223405d8228642a477bda255b32aadbce4bda0b3f7e36c9da7", Hex(hash.ComputeHash("abc"u8.ToArray())));
    }

    // NIST SP 800-38A F.3.13 and F.3.14, all four blocks; read from OpenSSL's copy of the vectors, whose first block the project's notes have too.
    [Fact]
    public void Cfb128_of_nist()
    {
        byte[] key = Convert.FromHexString("2b7e151628aed2a6abf7158809cf4f3c");
        byte[] vector = Convert.FromHexString("000102030405060708090a0b0c0d0e0f");
        byte[] plain = Convert.FromHexString("6bc1bee22e409f96e93d7e117393172aae2d8a571e03ac9c9eb76fac45af8e5130c81c46a35ce411e5fbc1191a0a52eff69f2445df4f9b17ad2b417be66c3710");
        byte[] cipher = Convert.FromHexString("3b3fd92eb72dad20333449f8e83cfb4ac8a64537a0b3a93fcde3cdad9f1ce58b26751f67a3cbb140b1808cf187a4f4dfc04b05357c5d1c0eeac4c66f9ff7f2e6");
        Assert.Equal(Hex(cipher), Hex(AesCfb.Encrypt(key, vector, plain)));
        Assert.Equal(Hex(plain), Hex(AesCfb.Decrypt(key, vector, cipher)));
        foreach (int count in new[] { 0, 1, 15, 16, 17, 63 })
        {
            Assert.Equal(Hex(cipher[..count]), Hex(AesCfb.Encrypt(key, vector, plain[..count])));
            Assert.Equal(Hex(plain[..count]), Hex(AesCfb.Decrypt(key, vector, cipher[..count])));
        }
    }

    [Fact]
    public void A_salt_never_comes_again()
    {
        var user = new UserSecurity("night", new PasswordKey(AuthProtocol.Sha256, "maplesyrup"), new PasswordKey(AuthProtocol.Sha256, "syrupmaple"));
        var scoped = new ScopedPdu(new SnmpPdu(SnmpPduKind.GetRequest, 1, []));
        HashSet<string> salts = [];
        for (int i = 0; i < 1000; i++)
        {
            byte[] octets = user.Write(new UserMessage { Level = SecurityLevel.AuthPriv, EngineId = Engine, User = "night", MessageId = 1 }, scoped);
            Assert.True(salts.Add(Hex(UserMessage.Read(octets, octets.Length, out _)!.Salt)));
        }
    }

    [Fact]
    public void One_octet_that_was_changed_is_seen()
    {
        var user = new UserSecurity("night", new PasswordKey(AuthProtocol.Sha256, "maplesyrup"));
        byte[] octets = user.Write(new UserMessage { Level = SecurityLevel.AuthNoPriv, EngineId = Engine, User = "night", MessageId = 1 }, new ScopedPdu(new SnmpPdu(SnmpPduKind.GetRequest, 1, [])));
        Assert.True(user.IsAuthentic(UserMessage.Read(octets, octets.Length, out _)!, octets));
        int seen = 0;
        for (int i = 0; i < octets.Length; i++)
        {
            byte[] changed = (byte[])octets.Clone();
            changed[i] ^= 0x01;
            seen += UserMessage.Read(changed, changed.Length, out _) is { } message && user.IsAuthentic(message, changed) ? 0 : 1;
        }

        Assert.Equal(octets.Length, seen);
    }

    [Fact]
    public void Secrets_are_shown_nowhere()
    {
        var user = new UserSecurity("night", new PasswordKey(AuthProtocol.Sha256, "maplesyrup"), new PasswordKey(AuthProtocol.Sha256, "syrupmaple"));
        object[] shown = [user, new UserAccess(user), new CommunityAccess("quietharbour"), new PasswordKey(AuthProtocol.Sha1, "maplesyrup")];
        foreach (object one in shown)
        {
            string text = one + string.Concat(one.GetType().GetProperties().Select(property => $"{property.Name}={property.GetValue(one)}"));
            Assert.DoesNotContain("maple", text);
            Assert.DoesNotContain("quiet", text);
        }
    }

    [Fact]
    public void Passwords_and_users_that_cannot_be_are_refused_without_being_shown()
    {
        Assert.Equal(
            [
                "SnmpSecretUnusable - -: A password of SNMPv3 has fewer than 8 characters, and agents take none so short (RFC 3414 section 11.2). Give the password that the user has on the switch.",
                "SnmpSecretUnusable - -: A user of SNMPv3 has 1 to 32 characters. Give the user and the passwords that the switch has.",
                "SnmpSecretUnusable - -: A message of SNMPv3 is not encrypted without being authenticated (RFC 3414 section 1.4.3). Give the user and the passwords that the switch has.",
                "SnmpSecretUnusable - -: The level AuthPriv wants a password for privacy, and none was given. Give the password, or ask at a lower level.",
                "SnmpSecretUnusable - -: A community has 1 to 255 characters. Give the community that the switches have for reading.",
            ],
            Told.Of(
            [
                Wrong(() => new PasswordKey(AuthProtocol.Sha256, "secret7")),
                Wrong(() => new UserSecurity("")),
                Wrong(() => new UserSecurity("night", null, new PasswordKey(AuthProtocol.Sha256, "maplesyrup"))),
                Wrong(() => new UserAccess(new UserSecurity("night", new PasswordKey(AuthProtocol.Sha256, "maplesyrup")), SecurityLevel.AuthPriv)),
                Wrong(() => new CommunityAccess("")),
            ]));
    }

    [Fact]
    public void Weak_protection_is_warned_about()
    {
        static UserAccess With(AuthProtocol protocol) => new(new UserSecurity("night", new PasswordKey(protocol, "maplesyrup")));
        Assert.Equal(["MD5 is a weak hash for authentication; use SHA-256 or better where the switches have it (RFC 7860)."], With(AuthProtocol.Md5).Warnings);
        Assert.Equal(["SHA-1 is a weak hash for authentication; use SHA-256 or better where the switches have it (RFC 7860)."], With(AuthProtocol.Sha1).Warnings);
        Assert.Empty(With(AuthProtocol.Sha256).Warnings);
        Assert.Equal(["At level NoAuthNoPriv anybody can change what agents answer, and read it."], new UserAccess(new UserSecurity("night")).Warnings);
        Assert.Equal(["SNMPv2c sends the community in clear: whoever hears the network can read it. Use SNMPv3 where the switches have it."], new CommunityAccess("quiet").Warnings);
        Assert.Equal(["SNMPv1 sends the community in clear: whoever hears the network can read it. Use SNMPv3 where the switches have it."], new CommunityAccess("quiet", SnmpVersion.V1).Warnings);
    }

    private static Problem Wrong(Func<object> make) => Assert.Throws<PoeOpsException>(make).Problem;
}

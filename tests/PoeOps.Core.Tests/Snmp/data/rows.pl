# Serves objects to snmpd's pass_persist (snmpd.conf(5)): perl rows.pl FILE, a line an object in any order: name, type and value with bars between.
use strict;
$| = 1;
sub order { my @a = split /\./, $_[0]; my @b = split /\./, $_[1]; while (@a && @b) { my $d = shift(@a) <=> shift(@b); return $d if $d; } return @a <=> @b; }
open my $file, '<', $ARGV[0] or die;
my %rows = map { chomp; my @f = split /\|/, $_, 3; ($f[0] => "$f[1]\n$f[2]") } <$file>;
my @names = sort { order($a, $b) } keys %rows;
sub next_one { my ($low, $high) = (0, scalar @names); while ($low < $high) { my $at = int(($low + $high) / 2); if (order($names[$at], $_[0]) <= 0) { $low = $at + 1 } else { $high = $at } } return $names[$low]; }
while (my $word = <STDIN>) {
    chomp $word;
    if ($word eq 'PING') { print "PONG\n"; next; }
    last if $word eq '';
    my $name = <STDIN>;
    chomp $name;
    $name =~ s/^\.//;
    if ($word eq 'set') { my $value = <STDIN>; print "not-writable\n"; next; }
    $name = next_one($name) if $word eq 'getnext';
    print defined $name && exists $rows{$name} ? ".$name\n$rows{$name}\n" : "NONE\n";
}

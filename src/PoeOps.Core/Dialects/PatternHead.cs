namespace PoeOps.Dialects;

/// <summary>
/// Reads what the matches of a regular expression can begin with. It knows letters, classes, groups, alternatives and counts; where it meets anything
/// else, the answer is any character.
/// </summary>
internal sealed class PatternHead
{
    private const string Special = @"\[](){}.*+?|^$";

    private readonly string _text;
    private int _at;
    private bool _unknown;

    /// <summary>Reads a pattern that has been compiled, so that it is well formed.</summary>
    public PatternHead(string text) => _text = text;

    private bool IsOver => _at >= _text.Length;

    private int Depth { get; set; }

    private bool HasAlternatives { get; set; }

    /// <summary>What its matches can begin with.</summary>
    public CharacterSet Read()
    {
        CharacterSet set = Alternatives();

        // Behind an alternative at the top, a match need not begin where the text does.
        return _unknown || !IsOver || HasAlternatives ? CharacterSet.Any : set;
    }

    private CharacterSet Alternatives()
    {
        CharacterSet set = Sequence();
        while (!IsOver && !_unknown && _text[_at] == '|')
        {
            HasAlternatives |= Depth == 0;
            _at++;
            set = set.Or(Sequence());
        }

        return set;
    }

    private CharacterSet Sequence()
    {
        CharacterSet set = CharacterSet.Nothing;
        while (!IsOver && !_unknown && _text[_at] is not '|' and not ')')
        {
            CharacterSet atom = Atom();
            set = set.Then(Counted(atom));
        }

        return set;
    }

    private CharacterSet Atom()
    {
        char c = _text[_at++];
        return c switch
        {
            '^' or '$' => CharacterSet.Nothing,
            '.' => CharacterSet.Where(_ => true),
            '(' => Group(),
            '[' => Class(),
            '\\' => Escape(),
            '{' => CharacterSet.Of(c),
            _ when Special.Contains(c) => Unknown(),
            _ => CharacterSet.Of(c),
        };
    }

    private CharacterSet Group()
    {
        if (StartsWith("?:"))
        {
            _at += 2;
        }
        else if (StartsWith("?<") && _at + 2 < _text.Length && (char.IsLetter(_text[_at + 2]) || _text[_at + 2] == '_'))
        {
            int close = _text.IndexOf('>', _at);
            if (close < 0 || _text.IndexOf('-', _at, close - _at) >= 0)
            {
                return Unknown();
            }

            _at = close + 1;
        }
        else if (StartsWith("?"))
        {
            return Unknown();
        }

        Depth++;
        CharacterSet set = Alternatives();
        Depth--;
        return Close(')') ? set : Unknown();
    }

    private CharacterSet Class()
    {
        bool not = StartsWith("^");
        _at += not ? 1 : 0;
        CharacterSet set = CharacterSet.None;
        for (bool first = true; !_unknown && !IsOver && (first || _text[_at] != ']'); first = false)
        {
            set = set.Or(ClassPart());
        }

        return !Close(']') ? Unknown() : not ? set.Not() : set;
    }

    private CharacterSet ClassPart()
    {
        char from = _text[_at++];
        if (from == '[' || (from == '-' && StartsWith("[")))
        {
            return Unknown();
        }

        if (from == '\\')
        {
            CharacterSet escaped = Escape();
            return StartsWith("-") && !StartsWith("-]") ? Unknown() : escaped;
        }

        if (!StartsWith("-") || StartsWith("-]"))
        {
            return CharacterSet.Of(from);
        }

        _at++;
        char to = IsOver ? '\\' : _text[_at++];
        return to is '\\' or '[' ? Unknown() : CharacterSet.Where(c => c >= from && c <= to);
    }

    // What is between two characters restricts a match and consumes nothing.
    private CharacterSet Escape()
    {
        char c = IsOver ? '\0' : _text[_at++];
        return c switch
        {
            'd' => CharacterSet.Where(one => one is >= '0' and <= '9'),
            'D' => CharacterSet.Where(one => one is < '0' or > '9'),
            's' => CharacterSet.Where(char.IsWhiteSpace),
            'S' => CharacterSet.Where(one => !char.IsWhiteSpace(one)),
            'w' => CharacterSet.Where(one => char.IsLetterOrDigit(one) || one == '_'),
            'W' => CharacterSet.Where(one => !char.IsLetterOrDigit(one) && one != '_'),
            't' => CharacterSet.Of('\t'),
            _ when c < 128 && (char.IsPunctuation(c) || char.IsSymbol(c) || c == ' ') => CharacterSet.Of(c),
            _ => Unknown(),
        };
    }

    private CharacterSet Counted(CharacterSet atom)
    {
        if (IsOver || _unknown)
        {
            return atom;
        }

        switch (_text[_at])
        {
            case '*' or '?':
                _at++;
                SkipLazy();
                return atom with { CanBeEmpty = true };
            case '+':
                _at++;
                SkipLazy();
                return atom;
            case '{':
                return Braced(atom);
            default:
                return atom;
        }
    }

    // A brace that is no count stands for itself.
    private CharacterSet Braced(CharacterSet atom)
    {
        int digits = _at + 1;
        while (digits < _text.Length && _text[digits] is >= '0' and <= '9')
        {
            digits++;
        }

        int close = digits;
        if (close < _text.Length && _text[close] == ',')
        {
            close++;
            while (close < _text.Length && _text[close] is >= '0' and <= '9')
            {
                close++;
            }
        }

        if (digits == _at + 1 || close >= _text.Length || _text[close] != '}')
        {
            return atom;
        }

        bool none = _text.Substring(_at + 1, digits - _at - 1).All(digit => digit == '0');
        _at = close + 1;
        SkipLazy();
        return none ? atom with { CanBeEmpty = true } : atom;
    }

    private void SkipLazy() => _at += StartsWith("?") ? 1 : 0;

    private bool StartsWith(string text) => string.CompareOrdinal(_text, _at, text, 0, text.Length) == 0;

    private bool Close(char bracket)
    {
        bool closes = !IsOver && _text[_at] == bracket;
        _at += closes ? 1 : 0;
        return closes;
    }

    private CharacterSet Unknown()
    {
        _unknown = true;
        return CharacterSet.Any;
    }
}

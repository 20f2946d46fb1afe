# Every text that can be reached from an object through public properties, fields, items and keys, whatever it is: an output, an error record, its exceptions.
Add-Type -TypeDefinition @'
using System;
using System.Collections;
using System.Collections.Generic;
using System.Reflection;
using System.Runtime.CompilerServices;

public static class ObjectTexts
{
    private const int Deepest = 12;

    public static string[] Of(IEnumerable objects)
    {
        var texts = new List<string>();
        var seen = new HashSet<object>(new Same());
        foreach (object one in objects) { Walk(one, texts, seen, 0); }
        return texts.ToArray();
    }

    private static void Walk(object value, List<string> texts, HashSet<object> seen, int depth)
    {
        if (value is System.Management.Automation.PSObject wrapped && !(wrapped.BaseObject is System.Management.Automation.PSCustomObject))
        {
            foreach (var property in wrapped.Properties)
            {
                if (property is System.Management.Automation.PSNoteProperty) { Walk(property.Value, texts, seen, depth + 1); }
            }

            value = wrapped.BaseObject;
        }

        if (value is string text) { texts.Add(text); return; }
        if (value is char[] characters) { texts.Add(new string(characters)); return; }
        if (value is byte[] bytes) { texts.Add(System.Text.Encoding.Latin1.GetString(bytes)); return; }
        if (value == null || depth > Deepest || IsElsewhere(value.GetType()) || !seen.Add(value)) { return; }
        texts.Add(Try(value.ToString));
        if (value is IDictionary table)
        {
            foreach (DictionaryEntry entry in table) { Walk(entry.Key, texts, seen, depth + 1); Walk(entry.Value, texts, seen, depth + 1); }
        }
        else if (value is ICollection || value is Array)
        {
            foreach (object item in (IEnumerable)value) { Walk(item, texts, seen, depth + 1); }
        }

        foreach (PropertyInfo property in value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance))
        {
            if (property.GetIndexParameters().Length == 0) { Walk(Try(() => property.GetValue(value)), texts, seen, depth + 1); }
        }

        foreach (FieldInfo field in value.GetType().GetFields(BindingFlags.Public | BindingFlags.Instance)) { Walk(field.GetValue(value), texts, seen, depth + 1); }
    }

    // The machinery of the runtime and of the shell, which everything leads to: the night's own variables hold its credentials.
    private static bool IsElsewhere(Type type)
    {
        string name = type.FullName ?? type.Name;
        return type.IsPrimitive || type.IsEnum || type.IsPointer || Begins(name, "System.Reflection.") || Begins(name, "System.Runtime") || Begins(name, "System.Threading.")
            || Begins(name, "System.Management.Automation.Runspaces.") || Begins(name, "System.Management.Automation.Language.") || Begins(name, "System.Management.Automation.Host.")
            || typeof(Delegate).IsAssignableFrom(type) || typeof(Type).IsAssignableFrom(type) || type == typeof(System.Security.SecureString)
            || typeof(System.Management.Automation.CommandInfo).IsAssignableFrom(type) || typeof(System.Management.Automation.SessionState).IsAssignableFrom(type)
            || typeof(System.Management.Automation.PSModuleInfo).IsAssignableFrom(type) || typeof(System.Management.Automation.ScriptBlock).IsAssignableFrom(type)
            || type == typeof(DateTime) || type == typeof(TimeSpan) || type == typeof(decimal);
    }

    private static bool Begins(string name, string beginning) { return name.StartsWith(beginning, StringComparison.Ordinal); }

    private static T Try<T>(Func<T> read)
    {
        try { return read(); }
        catch (Exception exception) { return exception is T given ? given : default(T); }
    }

    private sealed class Same : IEqualityComparer<object>
    {
        public new bool Equals(object x, object y) { return ReferenceEquals(x, y); }

        public int GetHashCode(object value) { return RuntimeHelpers.GetHashCode(value); }
    }
}
'@

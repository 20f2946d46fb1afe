using Newtonsoft.Json;

namespace PoeOps.Dialects;

/// <summary>The text of a dialect file to begin with: it reads as it stands, and a comment explains every key.</summary>
internal static class DialectSkeleton
{
    private const string Body = """
        {
          SCHEMA-LINE
          // What an estate calls the family.
          "name": NAME,

          // A line about the family for people.
          "title": "EDIT: what these switches are",

          // The encoding of consoles and captures, such as iso-8859-1; utf-8 where absent.
          // "encoding": "utf-8",

          // A dialect that this one changes: then say only what differs.
          // "extends": "EDIT",

          "console": {
            // How a prompt looks when the switch waits for a command, with the blank that it ends in.
            "prompts": ["^EDIT-the-prompt> $"]

            // The prompt once elevated.
            // , "elevatedPrompts": ["^EDIT-the-prompt! $"]
            // What is asked at log-in, and the answer: {User}, {Password} or {ElevationPassword}. "lineEnd": false sends no line end behind it.
            // , "logIn": [ { "expect": "^EDIT name: $", "send": "{User}" }, { "expect": "^EDIT word: $", "send": "{Password}", "lineEnd": true } ]
            // What is printed when the log-in is refused.
            // , "logInRefused": ["^EDIT not you$"]
            // What is printed when no session is free, so that it is tried again.
            // , "sessionsFull": ["^EDIT all taken$"]
            // The command that elevates, and what is asked then.
            // , "elevate": "EDIT", "elevateDialogue": [ { "expect": "^EDIT second word: $", "send": "{ElevationPassword}" } ]
            // Where a long answer stops, and the key that goes on.
            // , "pagers": [ { "expect": "EDIT turn the page$", "send": " " } ]
            // Commands sent after log-in, so that nothing stops.
            // , "quiet": ["EDIT"]
            // What says that a command is unknown or not allowed.
            // , "refused": ["^EDIT unknown"]
            // What a line begins with that is the rest of the line before it.
            // , "continued": ["^EDIT> "]
            // Lines that say how wide the screen is, for blocks with "wrap": true.
            // , "width": ["^EDIT width (?<Width>\\d+)$"]
            // Patterns of commands that change something; Save-PseCapture sends none that fits.
            // , "changing": ["^EDIT (set|load) "]
            // The command that leaves.
            // , "goodBye": "EDIT"
            // What ends a line that is sent: cr, lf or crlf; cr where absent.
            // , "lineEnd": "cr"
            // What ends a line that comes: lf, or cr where a carriage return alone does; lf where absent.
            // , "lineBreak": "lf"
            // Sent when nothing comes after connecting; may be empty.
            // , "wake": ""
            // Sent after so many idle seconds, so that the session stays open; may be empty for a line end alone.
            // , "keepAlive": "", "keepAliveSeconds": 60
          },

          // What to send for each need: a command, or an object with "send" and "each" ("switch", "unit" or "port") for {Unit} and {Port}.
          // With "variants" the first is sent whose "when" fits the release and the model.
          // "ask": {
          //   "release": ["EDIT"], "units": ["EDIT"], "controllers": ["EDIT"], "neighbours": ["EDIT"], "portSettings": ["EDIT"], "busy": ["EDIT"],
          //   "ports": [ { "each": "unit", "variants": [ { "when": { "release": "^5", "model": "^EDIT" }, "send": "EDIT {Unit}" }, { "send": "EDIT all {Unit}" } ] } ]
          // },

          // How answers are read. A named group is the name of the property that it fills. The properties are:
          // of a switch, Host and Release; of a controller, Unit, Model, Serial, Firmware, Release, Condition, BudgetWatts, GuardBandWatts, AllocatedWatts,
          // DrawWatts and PseType; of a port, Unit and Port, or PortName, and AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description,
          // Neighbour, PdClassA, PdClassB, AllocatedPdWatts and AllocatedBy.
          "blocks": [
            {
              // What reports call it, and what its rows tell of: switch, controller or port.
              "name": "EDIT-controllers",
              "of": "controller",
              // Its first line. What a group takes here is handed down to every row.
              "begins": ["EDIT the first line of the answer"],
              // Its rows, each a pattern for the whole line.
              "rows": ["(?<Unit>\\d+) +(?<Model>\\S+) +(?<Firmware>\\S+) +(?<Condition>\\S+)"],
              // Properties that may be neither missing nor blank.
              "required": ["Condition"]

              // Its last line; a group Count says how many rows there must be.
              // , "ends": ["EDIT: (?<Count>\\d+) rows"]
              // true where all lines together make one object, as names and values do.
              // , "oneRecord": false
              // Values that are never printed.
              // , "fixed": { "Unit": "1" }
              // Lines of this block that carry nothing.
              // , "ignore": [ { "name": "ruler", "pattern": "-{3,}( +-{3,})*" } ]
              // A row of several lines stands in rows as an object: { "name": "EDIT", "lines": ["EDIT first", "EDIT second"] }
            }

            // A table cut at the words of its header, in place of rows: the words as they are printed, and the property beneath each; the header, where it is
            // not the first line; and the width at which the switch breaks its lines, or true.
            // , { "name": "EDIT-table", "of": "port", "begins": ["EDIT the line above the table"], "header": ["EDIT .*"], "wrap": 80,
            //   "columns": { "EDIT unit": "Unit", "EDIT port": "Port", "EDIT used": { "property": "DrawWatts", "align": "right" }, "EDIT not wanted": null } }

            // An answer that is JSON: where its rows are, level by level; the path of each property from its row; what carries nothing.
            // , { "name": "EDIT-ports", "of": "port", "json": {
            //   "rows": ["$.EDIT.*", "EDIT[*]"],
            //   "fields": { "Unit": { "level": 1, "memberName": true }, "Port": "EDIT", "DrawWatts": { "path": "EDIT.EDIT", "otherwise": "" } },
            //   "ignore": ["$.EDIT"]
            // } }
          ]

          // Lines that carry nothing wherever they stand, such as log lines. Keep these narrow: they hide lines.
          // , "ignore": [ { "name": "log line", "pattern": "EDIT .*" } ]

          // How values are written: the unit of numbers that do not say it (W, mW, dW, kW or %), their decimalMark, what a percentage is of, and words that
          // mean one of PoeOps' own.
          // , "values": { "DrawWatts": { "unit": "W", "decimalMark": "." }, "AllocatedWatts": { "percentOf": "BudgetWatts" }, "Condition": { "words": { "EDIT": "Healthy" } } }

          // Texts that mean that nothing stands there; a hyphen where absent.
          // , "blanks": ["-"]

          // Patterns that take a PortName apart into Unit and Port.
          // , "portNames": ["(?<Unit>\\d+)/(?<Port>\\d+)"]

          // How versions are spelled, with the parts of a spelling from the heaviest, and samples from old to new.
          // , "versions": {
          //   "firmware": { "spellings": [ { "pattern": "(?<major>\\d+)\\.(?<minor>\\d+)", "parts": ["major", "minor"] } ], "samples": ["1.9", "1.10"] },
          //   With "letters" the letters of a part are ordered: { "part": "after" } for 3, 3a, 3b, or a list from old to new.
          //   "release": { "samples": ["1.9", "1.10"] }
          // }

          // How to refresh a unit. Leave it out for a family that is only read.
          // , "refresh": {
          //   The command of each protocol.
          //   "commands": { "tftp": "EDIT {Unit} {Server} {ServerPort} {File}", "scp": "EDIT {Unit} {Server} {File}" },
          //   What the switch asks before it acts.
          //   "asks": [ { "expect": "EDIT sure\\? $", "send": "EDIT" } ],
          //   The command that asks how far it is, where the prompt comes back at once.
          //   "poll": "EDIT {Unit} {Job}", "pollSeconds": 5,
          //   Where it wants a number that the switch gave the work: how that is read.
          //   "job": ["EDIT (?<Job>\\d+)"],
          //   Transfer, Erase, Program and Reset: the lines that begin and end each, its progress, the longest time for all of it and without getting further.
          //   "stages": [ { "stage": "Transfer", "begins": ["^EDIT"], "progress": ["(?<Percent>\\d+) EDIT"], "ends": ["^EDIT"], "deadlineSeconds": 600, "stallSeconds": 120 } ],
          //   What is printed when all is done, and when something failed.
          //   "succeeds": ["^EDIT"], "fails": [ { "pattern": "^EDIT", "because": "EDIT" } ],
          //   What says that a refresh is under way.
          //   "busy": ["^EDIT"],
          //   Whether the connection outlives the controller's reset.
          //   "sessionSurvivesReset": true,
          //   Only if the switch itself begins its lines with a time.
          //   "timeStamp": { "pattern": "^(?<Time>\\S+) ", "formats": ["HH:mm:ss"] },
          //   Commands that set a port as it was: AdminEnabled, Priority, LimitWatts, or one value of them such as AdminEnabled=true, AdminEnabled=false,
          //   Priority=Low, Priority=High, Priority=Critical, LimitWatts=none.
          //   "putBack": { "Priority": ["EDIT {Unit} {Port} {Value}"] }
          // }

          // Lines that the file tests itself with.
          // , "examples": [ { "block": "EDIT-controllers", "lines": ["EDIT the first line of the answer", "1 A B C"], "fields": { "Unit": "1" } } ]
        }

        """;

    /// <summary>The text for a family.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="schema">Where the schema is, for editors; or null.</param>
    public static string For(string name, string? schema) =>
        Body.Replace("\r\n", "\n").Replace("SCHEMA-LINE", SchemaLine(schema)).Replace("\"name\": NAME,", $"\"name\": {JsonConvert.ToString(name)},");

    /// <summary>The line that names the schema, or a comment where nobody knows where it is.</summary>
    public static string SchemaLine(string? schema) =>
        schema is null ? "// Name the schema here, and an editor completes and explains the keys: \"$schema\": \"...\"," : $"\"$schema\": {JsonConvert.ToString(schema)},";
}

namespace PoeOps.Core.Tests.Dialects;

internal static partial class SampleDialect
{
    public const string Text = """
        {
          "$schema": "../schemas/poeops.dialect.schema.json",
          "name": "pintle",
          "title": "Pintle boxes (invented)",
          "encoding": "utf-8",
          "console": {
            "prompts": ["^[a-z0-9-]+ awaits; $"],
            "elevatedPrompts": ["^[a-z0-9-]+ obeys; $"],
            "logIn": [ { "expect": "^Name, please: $", "send": "{User}", "lineEnd": true }, { "expect": "^Word, please: $", "send": "{Password}" } ],
            "logInRefused": ["^Not you\\.$"], "sessionsFull": "^No seat left",
            "elevate": "command me",
            "elevateDialogue": [ { "expect": "^Second word: $", "send": "{ElevationPassword}" } ],
            "pagers": [ { "expect": "\\(turn the leaf\\)$", "send": " " } ],
            "quiet": ["leaves endless"],
            "refused": ["^That is beyond me"],
            "goodBye": "leave", "changing": ["^(darken|rename) "], "continued": "^&> ", "width": "^screen (?<Width>\\d+)$",
            "lineEnd": "cr", "lineBreak": "lf",
            "wake": "", "keepAlive": "", "keepAliveSeconds": 90
          },
          "ask": {
            "release": ["recite edition"], "units": ["recite decks"], "controllers": "recite feeds",
            "ports": [ { "send": "recite eyes {Unit}", "each": "unit" } ],
            "neighbours": [ { "each": "port", "variants": [ { "when": { "release": "^1", "model": "^P" }, "send": "recite friend {Unit} {Port}" }, { "send": "recite friends {Unit}" } ] } ], "portSettings": [], "busy": ["recite work"]
          },
          "blocks": [
            {
              "name": "edition", "of": "switch",
              "begins": ["Edition of (?<Host>\\S+): (?<Release>\\S+)"], "oneRecord": true, "required": ["Release"]
            },
            {
              "name": "feeds", "of": "controller",
              "begins": ["deck +edition +mood +may give"], "ends": ["--( (?<Count>\\d+))? feeds"],
              "rows": [ "(?<Unit>\\d+) +(?<Firmware>\\S+) +(?<Condition>\\S+) +(?<BudgetWatts>\\S+)" ],
              "required": ["Unit", "Condition"],
              "ignore": [ { "name": "ruler", "pattern": "=+" } ]
            },
            {
              "name": "eyes", "of": "port",
              "begins": ["eyes of deck (?<Unit>\\d+)"], "ends": ["-- eyes"],
              "rows": [ { "name": "eye", "lines": ["eye (?<Port>\\d+) is (?<Status>\\S+)", " gives (?<DrawWatts>.+)"] } ],
              "fixed": { "AdminEnabled": "true" }, "oneRecord": false
            }, { "name": "lids", "of": "port", "begins": ["lids of deck (?<Unit>\\d+)"], "header": "lid .*", "wrap": 60, "columns": { "lid": "Port", "rank": { "property": "Priority", "align": "right" }, "hue": null } }, { "name": "tree", "of": "port", "json": { "rows": ["$.decks[*]", "eyes.*"], "fields": { "Unit": { "path": "deck", "level": 1, "otherwise": "1" }, "Port": { "level": 2, "memberName": true }, "LimitWatts": "most" }, "ignore": "$.decks[*].hue" } }
          ],
          "ignore": [ { "name": "bell", "pattern": "\\* .*" } ],
          "values": {
            "Condition": { "words": { "calm": "Healthy", "sore": "Faulted" } },
            "Status": { "words": { "live": "DeliveringPower", "idle": "Searching" } },
            "BudgetWatts": { "unit": "W", "decimalMark": "," }, "LimitWatts": { "unit": "%", "percentOf": "BudgetWatts", "decimalMark": [",", "unit"] },
            "DrawWatts": { "unit": "mW", "decimalMark": "." }
          },
          "blanks": ["-"],
          "portNames": ["(?<Unit>\\d+)/(?<Port>\\d+)"],
          "versions": {
            "firmware": {
              "spellings": [ { "pattern": "v(?<major>\\d+)\\.(?<minor>\\d+)(?<fix>[a-z]?)", "parts": ["major", "minor", "fix"] }, { "pattern": "pin(?<major>\\d)(?<minor>\\d\\d)", "parts": ["major", "minor"] } ],
              "letters": { "fix": "after" }, "samples": ["v1.2", "pin110 = v1.10", "v2.0", "v2.0a"]
            },
            "release": {}
          },
          "refresh": {
            "commands": { "tftp": "renew {Unit} {Server} {ServerPort} {File}", "scp": "renew {Unit} scp {Server} {File}" },
            "asks": [ { "expect": "Sure\\? $", "send": "aye" } ],
            "poll": "recite work {Unit} {Job}", "job": "work (?<Job>\\d+) begun",
            "pollSeconds": 5,
            "stages": [ { "stage": "Transfer", "begins": ["^fetching"], "progress": ["(?<Percent>\\d+) of 100"], "ends": ["^fetched"], "deadlineSeconds": 300, "stallSeconds": 60 } ],
            "succeeds": ["^renewed"],
            "fails": [ { "pattern": "^spoilt", "because": "the image is damaged" } ],
            "busy": ["^at work"],
            "sessionSurvivesReset": true, "timeStamp": { "pattern": "^<(?<Time>[^>]+)> ", "formats": ["HH:mm:ss"] },
            "putBack": { "Priority": ["rank {Unit} {Port} {Value}"], "AdminEnabled=true": ["open {Unit} {Port}"], "AdminEnabled=false": ["shut {Unit} {Port}"] }
          },
          "examples": [ { "block": "eyes", "lines": ["eyes of deck 2", "eye 7 is live", " gives 4200"], "fields": { "Unit": "2", "Port": "7", "DrawWatts": "4.2" } } ]
        }
        """;
}

"""How to have ``curecast watch`` started by itself: texts for each system's own starter."""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from pathlib import Path
from xml.sax.saxutils import escape

__all__ = ["install_lines"]

_HEAD = """\
First the calendar: it works without this computer, and needs nothing installed.
  curecast calendar --keep FILE.ics      in a synced folder; or -o FILE.ics, opened on the phone

A laptop that is shut watches nothing. When it wakes, the watch says "not watched from .. to ..",
fetches what it can of the gap, and sends what it missed, with its age. For alerts that must come
at night, let it run on a computer that stays on.

Secrets (CURECAST_SMTP_PASSWORD, CURECAST_WEBHOOK_SECRET, names written ${NAME} in an address)
belong in this system's keyring (curecast alerts secret NAME) or in the starter's environment,
never in the job file. Where nobody is logged in a keyring may be locked: use the environment.
Does it live: curecast watch --status   (exit code 0: yes; an outside monitor reads watch.json)
"""
_SYSTEMD = """\
-- Linux, systemd: save as ~/.config/systemd/user/curecast.service -----------------------------
[Unit]
Description=curecast watches the open slabs
After=network-online.target

[Service]
ExecStart=@systemd watch
@systemd_homeEnvironmentFile=-%h/.config/curecast/secrets.env
Restart=always
RestartSec=30

[Install]
WantedBy=default.target

-- then -----------------------------------------------------------------------------------------
systemctl --user daemon-reload && systemctl --user enable --now curecast
loginctl enable-linger     (so that it runs while nobody is logged in)
"""
_CRON = """\
-- cron, in place of a service: one line in crontab -e ------------------------------------------
0 * * * * @cron watch --once
"""
_LAUNCHD = """\
-- macOS, launchd: save as ~/Library/LaunchAgents/curecast.watch.plist --------------------------
<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0"><dict>
  <key>Label</key><string>curecast.watch</string>
  <key>ProgramArguments</key><array>@launchd<string>watch</string></array>
  @launchd_home<key>RunAtLoad</key><true/>
  <key>KeepAlive</key><true/>
</dict></plist>

-- then -----------------------------------------------------------------------------------------
launchctl load ~/Library/LaunchAgents/curecast.watch.plist
"""
_WINDOWS = """\
-- Windows, task scheduler: save as curecast-task.xml, in the encoding UTF-16 LE ----------------
<Task version="1.2" xmlns="http://schemas.microsoft.com/windows/2004/02/mit/task">
  <Triggers><LogonTrigger><Enabled>true</Enabled></LogonTrigger></Triggers>
  <Settings>
    <MultipleInstancesPolicy>IgnoreNew</MultipleInstancesPolicy>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <StopIfGoingOnBatteries>false</StopIfGoingOnBatteries>
    <StartWhenAvailable>true</StartWhenAvailable>
    <RestartOnFailure><Interval>PT1M</Interval><Count>255</Count></RestartOnFailure>
    <ExecutionTimeLimit>PT0S</ExecutionTimeLimit>
  </Settings>
  <Actions><Exec><Command>@command</Command><Arguments>@arguments</Arguments></Exec></Actions>
</Task>

-- then, in a command window --------------------------------------------------------------------
@windows_homeschtasks /Create /TN curecast /XML curecast-task.xml
schtasks /Run /TN curecast
(or every hour: schtasks /Create /TN curecast /SC HOURLY /TR "@windows watch --once")
"""


def install_lines() -> list[str]:
    """The help of ``watch --install-help``, with this program's own place filled in."""
    filled = "\n".join((_HEAD, _SYSTEMD, _CRON, _LAUNCHD, _WINDOWS))
    places = _places(_program(), os.environ.get("CURECAST_HOME"))
    for name in sorted(places, key=len, reverse=True):
        filled = filled.replace(f"@{name}", places[name])
    return filled.splitlines()


def _program() -> list[str]:
    """The words that start this program."""
    called = Path(sys.argv[0])
    found = shutil.which("curecast") or (called if called.name.startswith("curecast") else None)
    if found:
        return [str(Path(found).absolute())]
    return [sys.executable, "-m", "curecast"]


def _places(program: list[str], home: str | None) -> dict[str, str]:
    """Each starter's own way to write the program, and the data folder where it is named."""
    rest = [*program[1:], "watch"]
    return {
        "systemd": " ".join(_unit(word) for word in program),
        "systemd_home": f"Environment={_unit(f'CURECAST_HOME={home}')}\n" if home else "",
        "cron": _cron([f"CURECAST_HOME={home}"] if home else [], program),
        "launchd": "".join(f"<string>{escape(word)}</string>" for word in program),
        "launchd_home": (
            "<key>EnvironmentVariables</key><dict><key>CURECAST_HOME</key>"
            f"<string>{escape(home)}</string></dict>\n  "
            if home
            else ""
        ),
        "command": escape(program[0]),
        "arguments": escape(" ".join(rest)),
        "windows": " ".join([f'\\"{program[0]}\\"', *program[1:]]),
        "windows_home": f'setx CURECAST_HOME "{home}"\n' if home else "",
    }


def _unit(word: str) -> str:
    """A word in a unit of systemd: quoted, its specifiers and variables as they stand."""
    plain = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{plain}"'


def _cron(settings: list[str], program: list[str]) -> str:
    words = [f"{s.partition('=')[0]}={shlex.quote(s.partition('=')[2])}" for s in settings]
    return " ".join([*words, *(shlex.quote(word) for word in program)]).replace("%", "\\%")

"""How to have ``curecast watch`` started by itself: texts for each system's own starter."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from xml.sax.saxutils import escape

__all__ = ["install_lines"]

_HEAD = """\
First the calendar: it works without this computer, and needs nothing installed.
  curecast calendar JOB -o FILE.ics      then open FILE.ics on the phone

A laptop that is shut watches nothing. When it wakes, the watch says "not watched from .. to ..",
fetches what it can of the gap, and sends what it missed, with its age. For alerts that must come
at night, let it run on a computer that stays on.

Secrets (CURECAST_SMTP_PASSWORD, CURECAST_WEBHOOK_SECRET, names written ${NAME} in an address)
belong in the starter's environment, never in the job file.
Does it live: curecast watch --status   (exit code 0: yes; an outside monitor reads watch.json)
"""
_SYSTEMD = """\
-- Linux, systemd: save as ~/.config/systemd/user/curecast.service -----------------------------
[Unit]
Description=curecast watches the open slabs
After=network-online.target

[Service]
ExecStart={program} watch
{home_systemd}EnvironmentFile=-%h/.config/curecast/secrets.env
Restart=always
RestartSec=30

[Install]
WantedBy=default.target

then: systemctl --user daemon-reload && systemctl --user enable --now curecast
      loginctl enable-linger     (so that it runs while nobody is logged in)
"""
_CRON = """\
-- cron, in place of a service: one line in crontab -e ------------------------------------------
0 * * * * {home_cron}{program} watch --once
"""
_LAUNCHD = """\
-- macOS, launchd: save as ~/Library/LaunchAgents/curecast.watch.plist --------------------------
<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0"><dict>
  <key>Label</key><string>curecast.watch</string>
  <key>ProgramArguments</key><array><string>{program_xml}</string><string>watch</string></array>
  {home_launchd}<key>RunAtLoad</key><true/>
  <key>KeepAlive</key><true/>
</dict></plist>

then: launchctl load ~/Library/LaunchAgents/curecast.watch.plist
"""
_WINDOWS = """\
-- Windows, task scheduler: in a command window -------------------------------------------------
schtasks /Create /TN curecast /SC ONLOGON /TR "\\"{program}\\" watch"
schtasks /Run /TN curecast
(or every hour: schtasks /Create /TN curecast /SC HOURLY /TR "\\"{program}\\" watch --once")
"""


def install_lines() -> list[str]:
    """The help of ``watch --install-help``, with this program's own place filled in."""
    called = Path(sys.argv[0])
    found = shutil.which("curecast") or (called if called.name.startswith("curecast") else None)
    program = str(Path(found).absolute()) if found else f"{sys.executable} -m curecast"
    home = os.environ.get("CURECAST_HOME")
    arguments = f"{escape(program)}".replace(" -m curecast", "</string><string>-m</string>"
                                             "<string>curecast")  # fmt: skip
    filled = "\n".join((_HEAD, _SYSTEMD, _CRON, _LAUNCHD, _WINDOWS)).replace("${NAME}", "$[NAME]")
    filled = filled.format(
        program=program,
        program_xml=arguments,
        home_systemd=f"Environment=CURECAST_HOME={home}\n" if home else "",
        home_cron=f"CURECAST_HOME={home} " if home else "",
        home_launchd=(
            "<key>EnvironmentVariables</key><dict><key>CURECAST_HOME</key>"
            f"<string>{escape(home)}</string></dict>\n  "
            if home
            else ""
        ),
    )
    return filled.replace("$[NAME]", "${NAME}").splitlines()

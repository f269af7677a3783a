"""What reading a scale loads."""

import subprocess
import sys

LOADED = """
import sys
import mixstation.scale.serial_link, mixstation.scale.pty_port, mixstation.scale.profile_folder
print(*{name.partition(".")[0] for name in sys.modules})
"""


def test_nothing_heavy_before_a_port_is_opened() -> None:
    answer = subprocess.run([sys.executable, "-c", LOADED], capture_output=True, text=True, check=True)
    assert not {"serial", "pydantic", "pint", "platformdirs", "textual", "scipy"} & set(answer.stdout.split())

"""Check many surveys on a Dask cluster: python examples/many-surveys.py FOLDER RECORDS.jsonl [SCHEDULER]

The rule set is read and proven once, and travels to the workers; each survey is read where it is judged, so that a
worker needs to see FOLDER. Without SCHEDULER, two processes of this machine are the cluster. Each line of the file is
the record of one survey, or what keeps it from being checked, in the order of their names. Install it with the extra
`cluster`: pip install "wallwalk[cluster]".
"""

import json
import sys
from pathlib import Path

from dask.distributed import Client, LocalCluster

from wallwalk import InputError, RuleSet, check, read_files, read_rule_set, read_survey


def line_of(path: Path, rule_set: RuleSet) -> str:
    """The record of one survey as a line of JSON; this is all that a worker runs."""
    try:
        survey = read_files(read_survey(path), rule_set, path.parent)
        return json.dumps(check(survey, rule_set))
    except InputError as error:
        return json.dumps({"file": str(path), "faults": [str(fault) for fault in error.faults]})


def main() -> None:
    """Check every survey of the folder by the rules for rigid sheet."""
    folder, records, *scheduler = sys.argv[1:]
    here = None if scheduler else LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None)
    with Client(here or scheduler[0]) as client:
        rule_set = client.scatter(read_rule_set("rigid-sheet"), broadcast=True)
        lines = client.map(line_of, sorted(Path(folder).glob("*.yaml")), rule_set=rule_set)
        Path(records).write_text("".join(f"{line}\n" for line in client.gather(lines)), encoding="utf-8")
    if here:
        here.close()


if __name__ == "__main__":
    main()

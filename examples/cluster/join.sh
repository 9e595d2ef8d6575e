#!/bin/bash
# The result of all parts, for a folder that is named after join.sh. It is started with
# --dependency=afterany: when every task has ended, well or not. If parts are missing it
# names them and writes nothing; with afterok it would never start once a task has
# failed, even when that task was done again.
#
#SBATCH --job-name=rundown-join
#SBATCH --cpus-per-task=1
#SBATCH --mem=4G
#SBATCH --time=00:30:00
#SBATCH --output=parts/join-%j.txt
set -euo pipefail

exec rundown join parts --out "$1"

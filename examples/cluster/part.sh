#!/bin/bash
# One part of a study as one task of a Slurm array. From the folder with the plan:
#
#   mkdir -p parts
#   array=$(sbatch --parsable --array=1-64 part.sh forecast plan.yaml --replicates 200000)
#   sbatch --dependency=afterany:$array join.sh results
#
# What follows part.sh is the command as one machine would run it: a farm of 640 fields in
# 64 parts of ten is part.sh farm fields.csv early.yaml late.yaml. Tasks requeued start
# at once after 'scontrol update JobId=ARRAY_TASK StartTime=now'. Tasks that failed are
# done again with 'scontrol requeue ARRAY_TASK'; or submitted again, and then PARTS must
# say how many parts there are in all, for Slurm only counts those that are submitted:
#
#   PARTS=64 sbatch --array=3,17 part.sh forecast plan.yaml --replicates 200000
#
#SBATCH --job-name=rundown-parts
#SBATCH --array=1-64
#SBATCH --cpus-per-task=2
#SBATCH --mem-per-cpu=500M
#SBATCH --time=01:00:00
#SBATCH --requeue
#SBATCH --output=parts/%A-%a.txt
set -euo pipefail

exec rundown "$@" --quiet --jobs "${SLURM_CPUS_PER_TASK:-1}" \
    --part "$SLURM_ARRAY_TASK_ID/${PARTS:-$SLURM_ARRAY_TASK_COUNT}" --out parts

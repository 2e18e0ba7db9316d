#!/bin/sh
# One task of a batch scheduler's array job: one part of the trials of a routine.
#
#   array_job.sh ROUTINE COUNT [more flags of `chalkfield trials`]
#
# The task's number and the number of tasks, counted from 1, are TASK and TASKS, or else what the scheduler sets. A task that is
# stopped and started again goes on where it was; to start one of 16 again alone say TASK=3 TASKS=16. When all are done, join
# the parts:
#
#   chalkfield merge parts/* --out all.trials --report trials.html
set -eu
routine=${1:?name the routine}
count=${2:?say how many trials}
shift 2
task=${TASK:-${SLURM_ARRAY_TASK_ID:-${PBS_ARRAY_INDEX:-${SGE_TASK_ID:-${LSB_JOBINDEX:?which task is this? set TASK=1, 2, ...}}}}}
tasks=${TASKS:-${SLURM_ARRAY_TASK_COUNT:?how many tasks are there? set TASKS=16}}
mkdir -p parts
exec "${CHALKFIELD:-chalkfield}" trials "$routine" -n "$count" --shard "$task/$tasks" --resume \
  --out "parts/$task-of-$tasks.trials" --workers "${SLURM_CPUS_PER_TASK:-1}" "$@"

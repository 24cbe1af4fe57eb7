#!/usr/bin/env bash
# Builds the peer program against SUNDIALS CVODE (Debian: libsundials-dev) and
# writes reference curves:
#
#	bash build-and-run.sh                   all cases into curves/
#	bash build-and-run.sh -o DIR CASE...    these cases into DIR
#	bash build-and-run.sh -q -o DIR CASE... without the checking runs of the header
#	bash build-and-run.sh -t CASE           wall times of CVODE, to standard output
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
out=$here/curves mode=()
while getopts 'o:qt' option; do
	case $option in
	o) out=$OPTARG ;;
	q) mode=(-quick) ;;
	t) mode=(-time) ;;
	*) exit 2 ;;
	esac
done
shift $((OPTIND - 1))

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
"${CC:-cc}" -std=gnu11 -O2 -Wall -Wextra -Wno-missing-field-initializers -o "$scratch/peer" \
	"$here"/{main,solve,cases,food}.c -lsundials_cvode -lsundials_nvecserial -lm

if [[ ${mode[*]-} == -time ]]; then
	"$scratch/peer" -time "$@"
	exit
fi
if (($#)); then names=("$@"); else mapfile -t names < <("$scratch/peer" -list); fi
mkdir -p "$out"
for name in "${names[@]}"; do
	"$scratch/peer" ${mode[@]+"${mode[@]}"} "$name" >"$scratch/$name.csv"
	mv "$scratch/$name.csv" "$out/$name.csv"
done

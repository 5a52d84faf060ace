#!/bin/sh
# Makes the spoken clips anew from phrases.tsv: needs espeak-ng and sox (apt-get install espeak-ng sox).
# G.711 mu-law, 8000 samples a second, one channel, no header; silence at both ends cut.
set -eu
cd "$(dirname "$0")"
rm -f ./*.ulaw
wav=$(mktemp --suffix=.wav)
trap 'rm -f "$wav"' EXIT
while IFS="$(printf '\t')" read -r key text; do
    espeak-ng -v en-gb -s 150 -g 2 -w "$wav" "$text" </dev/null
    sox "$wav" -t ul -r 8000 -c 1 "$key.ulaw" norm -3 silence 1 0.02 0.5% reverse silence 1 0.02 0.5% reverse
done < phrases.tsv

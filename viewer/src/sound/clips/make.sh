#!/bin/sh
# Makes the spoken clips anew from LANGUAGE/phrases.tsv: needs espeak-ng and sox (apt-get install espeak-ng sox).
# All languages, or those named: ./make.sh german
# G.711 mu-law, 8000 samples a second, one channel, no header; silence at both ends cut.
set -eu
cd "$(dirname "$0")"
[ $# -gt 0 ] || set -- english german
wav=$(mktemp --suffix=.wav)
trap 'rm -f "$wav"' EXIT
for language in "$@"; do
    case $language in
        english) voice=en-gb ;;
        german) voice=de ;;
        *) echo "no voice for $language" >&2; exit 2 ;;
    esac
    rm -f "$language"/*.ulaw
    while IFS="$(printf '\t')" read -r key text; do
        espeak-ng -v "$voice" -s 150 -g 2 -w "$wav" "$text" </dev/null
        sox "$wav" -t ul -r 8000 -c 1 "$language/$key.ulaw" norm -3 silence 1 0.02 0.5% reverse silence 1 0.02 0.5% reverse
    done < "$language/phrases.tsv"
done

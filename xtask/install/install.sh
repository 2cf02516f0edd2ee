#!/bin/sh
# Installs boardwise VERSION_HERE on Linux or macOS, or takes it away again. Your record is never touched.
#
#   sh install.sh                          from the folder this script is in
#   sh install.sh --from FOLDER_OR_ADDRESS from another folder, or over http or https
#   sh install.sh --into FOLDER            into FOLDER/bin, FOLDER/share and FOLDER/lib;
#                                          left out: /usr/local for root, else .local in your own folder
#   sh install.sh --uninstall              takes away what it installed
#
# It compares the SHA-256 checksum of what it got with the list SHA256SUMS from the same place, and changes nothing
# if they differ.
set -eu

version='VERSION_HERE'
address=''
from=${BOARDWISE_FROM:-$address}
into=''
uninstall=no

stop() { echo "install.sh: $*" >&2; exit 1; }
usage() { sed -n '2,/^$/s/^# \{0,1\}//p' "$0"; exit "$1"; }

while [ $# -gt 0 ]; do
    case $1 in
        --from | --into)
            [ $# -ge 2 ] || stop "$1 needs a value"
            if [ "$1" = --from ]; then from=$2; else into=$2; fi
            shift 2 ;;
        --uninstall) uninstall=yes; shift ;;
        -h | --help) usage 0 ;;
        *) stop "unknown argument $1; --help says which there are" ;;
    esac
done

if [ -z "$into" ]; then
    if [ "$(id -u)" = 0 ]; then into=/usr/local; else into=${HOME:?no folder of your own: give --into}/.local; fi
fi
list=$into/lib/boardwise/installed

# Takes away every file on the list, then the folders that this leaves empty.
remove() {
    while IFS= read -r file; do
        case $file in /* | *..*) stop "$list is damaged: $file" ;; esac
        rm -f "$into/$file"
    done < "$list"
    rm -f "$list"
    if [ -f "$list.folders" ]; then
        # Written from the outside in, so taken away from the inside out.
        sed -n '1!G;h;$p' "$list.folders" > "$list.order"
        order=$(cat "$list.order")
        rm -f "$list.folders" "$list.order"
        echo "$order" | while IFS= read -r folder; do
            case $folder in '' | *..*) continue ;; esac
            rmdir "$folder" 2> /dev/null || true
        done
    fi
}

if [ $uninstall = yes ]; then
    [ -f "$list" ] || stop "nothing of this installer is in $into; --into names another folder"
    remove
    echo "boardwise is gone from $into. Your record stays: ${XDG_DATA_HOME:-${HOME:-}/.local/share}/boardwise"
    exit 0
fi

# The system.
case $(uname -s) in
    Linux) system=unknown-linux-gnu ;;
    Darwin) system=apple-darwin ;;
    *) stop "there is no program for $(uname -s); see docs/install.md on building it" ;;
esac
case $(uname -m) in
    x86_64 | amd64) machine=x86_64 ;;
    aarch64 | arm64) machine=aarch64 ;;
    *) stop "there is no program for $(uname -m); see docs/install.md on building it" ;;
esac
name=boardwise-$version-$machine-$system
archive=$name.tar.gz

# The place. A script that came through a pipe has no folder of its own.
if [ -z "$from" ]; then
    case $0 in
        */*) from=$(dirname "$0") ;;
        *) [ -f "./$0" ] && from=. || stop "say where the files are: --from FOLDER_OR_ADDRESS" ;;
    esac
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM

fetch() {
    case $from in
        http://* | https://*)
            if command -v curl > /dev/null; then
                curl -fsSL -o "$work/$1" "${from%/}/$1" || stop "cannot fetch $from/$1"
            elif command -v wget > /dev/null; then
                wget -q -O "$work/$1" "${from%/}/$1" || stop "cannot fetch $from/$1"
            else
                stop "neither curl nor wget is installed"
            fi ;;
        *)
            [ -f "$from/$1" ] || stop "$from has no $1"
            cp "$from/$1" "$work/$1" ;;
    esac
}

fetch SHA256SUMS
fetch "$archive"
stated=$(sed -n "s/^\([0-9a-f]\{64\}\)  $archive\$/\1/p" "$work/SHA256SUMS")
[ -n "$stated" ] || stop "SHA256SUMS does not name $archive; nothing was changed"
if command -v sha256sum > /dev/null; then
    found=$(sha256sum "$work/$archive")
elif command -v shasum > /dev/null; then
    found=$(shasum -a 256 "$work/$archive")
else
    stop "neither sha256sum nor shasum is installed, so $archive cannot be checked; nothing was changed"
fi
[ "${found%% *}" = "$stated" ] || stop "$archive is damaged: its checksum is ${found%% *}, not $stated; nothing was changed"

tar -xzf "$work/$archive" -C "$work"
"$work/$name/boardwise" --version > /dev/null || stop "the program does not run on this machine; nothing was changed"

# What an earlier version left goes first, so that no file of it stays.
if [ -f "$list" ]; then remove; fi

# Makes a folder, and notes those that were not there.
folder() {
    case $1 in /*) made='' ;; *) made=. ;; esac
    rest=$1
    while [ -n "$rest" ]; do
        step=${rest%%/*}
        case $rest in */*) rest=${rest#*/} ;; *) rest='' ;; esac
        [ -n "$step" ] || continue
        made=$made/$step
        if [ ! -d "$made" ]; then
            mkdir "$made" || stop "cannot make $made"
            echo "$made" >> "$work/folders"
        fi
    done
}

put() {
    folder "$into/$(dirname "$2")"
    cp "$work/$name/$1" "$into/$2"
    chmod "$3" "$into/$2"
    echo "$2" >> "$work/installed"
}

: > "$work/folders"
: > "$work/installed"
put boardwise bin/boardwise 755
for page in "$work/$name"/man/*.1; do
    put "man/${page##*/}" "share/man/man1/${page##*/}" 644
done
put completions/boardwise.bash share/bash-completion/completions/boardwise 644
put completions/_boardwise share/zsh/site-functions/_boardwise 644
put completions/boardwise.fish share/fish/vendor_completions.d/boardwise.fish 644
for paper in LICENSE-APACHE LICENSE-MIT THIRD-PARTY.md; do
    put "$paper" "share/doc/boardwise/$paper" 644
done
folder "$into/lib/boardwise"
cp "$work/installed" "$list"
cp "$work/folders" "$list.folders"

echo "boardwise $version is at $into/bin/boardwise"
case :$PATH: in
    *:"$into/bin":*) ;;
    *) echo "That folder is not on your PATH yet. Add it: export PATH=\"$into/bin:\$PATH\"" ;;
esac
echo "Try: boardwise line        Take it away again: sh install.sh --uninstall --into $into"

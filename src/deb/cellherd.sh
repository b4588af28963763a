#!/bin/sh
# Starts cellherd with little memory; native libraries come from a fixed folder, never from /tmp.
set -eu

arch=$(dpkg --print-architecture 2>/dev/null || uname -m)
case "$arch" in
  x86_64) arch=amd64 ;;
  aarch64) arch=arm64 ;;
  armv7l | armv8l) arch=armhf ;;
  i686 | i586) arch=i386 ;;
esac
natives=/usr/lib/cellherd/$arch

# Without the JVM's counters file: it alone would write 28 MB a day.
options='-XX:+UseSerialGC -XX:-UsePerfData -Xss512k'
verb=
for word; do
  case $word in -*) ;; *) verb=$word; break ;; esac
done
if [ "$verb" = run ]; then
  # It runs for months: a small heap, and only the quick compiler. Other verbs end soon and count.
  # Out of memory is an end, so that the service manager starts it anew.
  options="$options -Xms8m -Xmn2m -Xmx24m -XX:TieredStopAtLevel=1 -XX:+ExitOnOutOfMemoryError"
else
  case "$verb $*" in
    # These end, and read much.
    gather*--refold* | gather*--rebuild-log*) ;;
    # It runs for months, too. What sites send at once decides what it needs: no bound, but little of the heap
    # may lie empty. Its young part keeps what lies between two commits: where that has no room, a flood has the
    # whole heap cleaned with every second commit.
    gather*)
      options="$options -Xms32m -Xmn20m -XX:SurvivorRatio=3 -XX:MinHeapFreeRatio=10 -XX:MaxHeapFreeRatio=20"
      options="$options -XX:TieredStopAtLevel=1 -XX:+ExitOnOutOfMemoryError"
      ;;
    # The slow compiler pays for none: the demo is over before, the others take a fifth more memory.
    demo* | spec* | frames*) options="$options -XX:TieredStopAtLevel=1" ;;
    # Most verbs end before what the full compiler makes of them is used: it waits ten times as long as usual,
    # so that only what reads months of log pays for it. It puts only small methods into others: the analyses are
    # one great method else, and to compile that takes a third of all that reading three months of log does.
    *)
      options="$options -XX:Tier4InvocationThreshold=50000 -XX:Tier4MinInvocationThreshold=6000"
      options="$options -XX:Tier4CompileThreshold=150000 -XX:Tier4BackEdgeThreshold=400000 -XX:FreqInlineSize=40"
      ;;
  esac
  if [ "$verb" = frames ]; then
    # It holds a whole capture: little of the heap may lie empty beside that, but there is no bound.
    # It begins small: Java's own first size, a part of the memory, would fill before it is cleaned.
    options="$options -Xms12m -Xmn8m -XX:MinHeapFreeRatio=10 -XX:MaxHeapFreeRatio=20"
  fi
fi
if [ -d "$natives" ]; then
  options="$options -Dorg.sqlite.lib.path=$natives -Dorg.sqlite.lib.name=libsqlitejdbc.so"
  if [ -e "$natives/libjSerialComm.so" ]; then
    options="$options -DjSerialComm.library.path=$natives"
  fi
fi
java=$(command -v "${CELLHERD_JAVA:-java}" || echo java)
archive=/var/cache/cellherd/$(readlink -f "$java" | tr / _).jsa
if [ -e "$archive" ]; then
  # At the address it was made for: elsewhere each start would rewrite it all, 12 MB of memory of its own.
  # One that does not fit is passed over, without a word among the results.
  options="$options -XX:+UnlockDiagnosticVMOptions -XX:ArchiveRelocationMode=0"
  options="$options -XX:SharedArchiveFile=$archive -Xlog:cds=off -Xlog:class+path=off"
fi
# shellcheck disable=SC2086  # options are words
exec "$java" $options ${CELLHERD_JVM_OPTIONS:-} -jar /usr/share/cellherd/cellherd.jar "$@"

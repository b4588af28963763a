package org.cellherd.app.daemon;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** What a process has used so far, as the kernel tells. */
record ProcessUsage(long residentKb, long ownKb, long busyMs, long writtenBytes) {

  static ProcessUsage of(long pid) throws IOException {
    Path proc = Path.of("/proc", Long.toString(pid));
    List<String> status = Files.readAllLines(proc.resolve("status"));
    List<String> io = Files.readAllLines(proc.resolve("io"));
    String stat = Files.readString(proc.resolve("stat"));
    String[] words = stat.substring(stat.lastIndexOf(')') + 2).split(" ", -1);
    long ticks = Long.parseLong(words[11]) + Long.parseLong(words[12]);
    return new ProcessUsage(
        number(status, "VmRSS:"),
        number(status, "RssAnon:"),
        ticks * 10,
        number(io, "write_bytes:"));
  }

  private static long number(List<String> lines, String key) {
    String line = lines.stream().filter(l -> l.startsWith(key)).findFirst().orElseThrow();
    return Long.parseLong(line.substring(key.length()).replace("kB", "").strip());
  }
}

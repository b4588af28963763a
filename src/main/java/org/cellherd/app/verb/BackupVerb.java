package org.cellherd.app.verb;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.LongSummaryStatistics;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

@Command(
    name = "backup",
    mixinStandardHelpOptions = true,
    description = {
      "Copies the log into a new file, also while it is being written, and checks the copy.",
      "The copy is read back, and what it holds is reported.",
      "Exit code 4 when the log is damaged or lacks readings: then so does the copy."
    })
final class BackupVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private Output output;

  @Parameters(paramLabel = "FILE", description = "The copy; must not exist.")
  private Path target;

  @Override
  public Integer call() throws StorageFailure {
    LogOptions.refuseTaken(target);
    FileCause.checkWritable(target);
    log.refuseCentre("is made again as a whole by cellherd gather --rebuild-log FILE --site NAME");
    try (LogFile file = log.openForReading()) {
      file.backup(target);
      tellHeld();
      file.examine();
      int code = LogOptions.answered(file);
      if (code != ExitCode.DONE) {
        System.err.println(target + ": lacks the same; keep earlier backups.");
      }
      return code;
    }
  }

  /** Reads the copy back: a count of the log it was made from would prove nothing. */
  private void tellHeld() throws StorageFailure {
    ZoneId zone = log.zone();
    List<String> held = new ArrayList<>();
    try (LogFile copy = LogFile.open(target, OpenMode.READER, log.storeSettings())) {
      for (String pack : copy.statistics().packs()) {
        LongSummaryStatistics times = new LongSummaryStatistics();
        copy.history()
            .replay(
                pack,
                Long.MIN_VALUE,
                Long.MAX_VALUE,
                entry -> {
                  if (entry instanceof Reading reading) {
                    times.accept(reading.timeMs());
                  }
                });
        if (times.getCount() > 0) {
          held.add(
              String.format(
                  Locale.ROOT,
                  "%s: %s, %s to %s",
                  pack,
                  Spoken.counted(times.getCount(), "reading"),
                  SpokenTime.minute(times.getMin(), zone),
                  SpokenTime.minute(times.getMax(), zone)));
        }
      }
    }
    output.line("Wrote " + target + (held.isEmpty() ? ": no readings." : ":"));
    held.forEach(line -> output.line("  " + line));
  }
}

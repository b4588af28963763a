package org.cellherd.app.verb;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

/** {@code cellherd backup}. */
@Command(
    name = "backup",
    mixinStandardHelpOptions = true,
    description = {
      "Copies the log, also while it is being written, into a new file.",
      "Exit code 4 when the log is damaged or lacks readings: then so does the copy."
    })
final class BackupVerb implements Callable<Integer> {

  @Mixin private LogOptions log;

  @Parameters(paramLabel = "FILE", description = "The copy; must not exist.")
  private Path target;

  @Override
  public Integer call() {
    if (Files.exists(target)) {
      throw new Stop(ExitCode.USAGE, target + ": is there already, choose a new file");
    }
    FileCause.checkWritable(target);
    log.refuseCentre("is made again as a whole by cellherd gather --rebuild-log FILE --site NAME");
    try (LogFile file = log.openForReading()) {
      file.backup(target);
      file.examine();
      int code = LogOptions.answered(file);
      if (code != ExitCode.DONE) {
        System.err.println(target + ": lacks the same; keep earlier backups.");
      }
      return code;
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
  }
}

package org.cellherd.app.verb;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PackConfig;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.fleet.SiteLog;
import org.cellherd.pack.StorageFailure;

/**
 * A pack's log and plan as a centre holds them, in files of a folder that goes with the program. A
 * verb that reads them answers as it would at the site.
 *
 * @param log the log
 * @param plan the plan
 * @param name of site and pack
 */
record FetchedLog(Path log, Path plan, String name) {

  static FetchedLog of(CentreOptions options, String site, String pack) {
    try (Centre centre = options.open()) {
      Path folder = folder();
      SiteLog held = SiteLog.newest(centre, site);
      Path plan = folder.resolve("plan.toml");
      String named = "pack \"" + pack + "\" of site \"" + site + "\"";
      String text =
          held.planText(pack).orElseThrow(() -> Stop.usage("the centre knows no " + named));
      try {
        plan(plan, text, pack);
      } catch (IllegalArgumentException unreadable) {
        throw new Stop(ExitCode.STORE, named + ": " + unreadable.getMessage());
      }
      Path log = folder.resolve("log.db");
      held.rebuild(log, Optional.of(pack));
      return new FetchedLog(log, plan, site + "/" + pack);
    } catch (CentreTrouble trouble) {
      throw CentreOptions.stop(trouble);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    } catch (IOException cannot) {
      throw new Stop(ExitCode.STORE, "no room for a copy of the log: " + cannot.getMessage());
    }
  }

  /**
   * Writes a pack's plan, as its site sent it, into a file and reads it.
   *
   * @throws IllegalArgumentException when this version cannot read it
   */
  static PackConfig plan(Path file, String text, String pack) throws IOException {
    Files.writeString(file, text);
    try {
      return ConfigFiles.loadPlans(file).packs().stream()
          .filter(p -> p.plan().id().equals(pack))
          .findFirst()
          .orElseThrow(() -> new IllegalArgumentException("its plan is another pack's"));
    } catch (Stop unknown) {
      String first = String.valueOf(unknown.getMessage()).lines().findFirst().orElseThrow();
      throw new IllegalArgumentException(
          "its plan is of another version of cellherd, which this one, %s, cannot read: %s"
              .formatted(ProgramVersion.text(), first.replace(file + ":", "line ")),
          unknown);
    }
  }

  /** A new folder that goes with the program. */
  static Path folder() {
    try {
      Path folder = Files.createTempDirectory("cellherd-");
      Runtime.getRuntime().addShutdownHook(new Thread(() -> delete(folder), "forget"));
      return folder;
    } catch (IOException cannot) {
      throw new Stop(ExitCode.STORE, "no room for a copy of the log: " + cannot.getMessage());
    }
  }

  private static void delete(Path folder) {
    empty(folder);
    try {
      Files.deleteIfExists(folder);
    } catch (IOException left) {
      told(left);
    }
  }

  /** Deletes the files of a folder. */
  static void empty(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.deleteIfExists(file);
      }
    } catch (IOException | UncheckedIOException left) {
      told(left);
    }
  }

  private static void told(Exception left) {
    System.getLogger(FetchedLog.class.getName())
        .log(System.Logger.Level.DEBUG, "left: " + left.getMessage());
  }
}

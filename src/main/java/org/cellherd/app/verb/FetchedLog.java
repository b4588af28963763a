package org.cellherd.app.verb;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.fleet.SiteLog;
import org.cellherd.pack.StorageFailure;
import org.jspecify.annotations.Nullable;

/**
 * A pack's log and plan as a centre holds them, in files of a folder that goes with the program. A
 * verb that reads them answers as it would at the site.
 *
 * @param log the log
 * @param plan the plan
 */
record FetchedLog(Path log, Path plan) {

  /** What is wrong where one of the options is missing. */
  static final String TOGETHER = "--store, --site and --pack go together";

  /** Fetches them where any of the options was given; all three are wanted then. */
  static Optional<FetchedLog> ifAsked(
      CentreOptions options, @Nullable String site, @Nullable String pack) {
    if (!options.isGiven() && site == null && pack == null) {
      return Optional.empty();
    }
    if (site == null || pack == null || !options.isGiven()) {
      throw Stop.usage(TOGETHER);
    }
    return Optional.of(of(options, site, pack));
  }

  /** Fetches them. */
  static FetchedLog of(CentreOptions options, String site, String pack) {
    try (Centre centre = options.open()) {
      Path folder = folder();
      SiteLog held = SiteLog.newest(centre, site);
      Path plan = folder.resolve("plan.toml");
      Files.writeString(
          plan,
          held.planText(pack)
              .orElseThrow(
                  () ->
                      Stop.usage(
                          "the centre knows no pack \"" + pack + "\" of site \"" + site + "\"")));
      Path log = folder.resolve("log.db");
      held.rebuild(log, Optional.of(pack));
      return new FetchedLog(log, plan);
    } catch (CentreTrouble trouble) {
      throw CentreOptions.stop(trouble);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    } catch (IOException cannot) {
      throw new Stop(ExitCode.STORE, "no room for a copy of the log: " + cannot.getMessage());
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

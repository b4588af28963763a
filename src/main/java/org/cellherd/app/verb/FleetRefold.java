package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Refold;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreAddress;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.fleet.RefoldQueue;
import org.cellherd.fleet.SiteLog;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** One worker that folds packs of a centre again until none lacks this program's results. */
final class FleetRefold {

  private static final long LOOK_NANOS = TimeUnit.SECONDS.toNanos(1);

  private final CentreAddress address;
  private final Output output;
  private final SystemTime time = new SystemTime();
  private final Path folder;

  FleetRefold(CentreAddress address, Output output) {
    this.address = address;
    this.output = output;
    this.folder = FetchedLog.folder();
  }

  /** Works; the exit code. */
  int run() throws CentreTrouble, InterruptedException {
    try (Centre claims = Centre.openForWriting(address);
        Centre reading = Centre.openForReading(address)) {
      RefoldQueue queue = new RefoldQueue(claims, reading, versions());
      queue.fill();
      long left = queue.waiting();
      output.line("Packs to bring up to date: " + left + ".");
      int code = ExitCode.DONE;
      while (left > 0) {
        Optional<RefoldQueue.Folded> folded = queue.next(this::fold);
        left = queue.waiting();
        if (folded.isPresent()) {
          tell(folded.get(), left);
          code = folded.get().trouble().isPresent() ? ExitCode.STORE : code;
        } else if (left > 0) {
          // Another worker has it; should that die, it is ours.
          time.sleepNanos(LOOK_NANOS);
        }
      }
      return code;
    }
  }

  /** No version depends on the plan. */
  private static Facts versions() {
    PackPlan any = PackPlan.of("any", Chemistry.LFP, 4, 1, 100_000);
    return new PackAnalysis(any, PackConfig.of(any, ZoneOffset.UTC).analysis()).versions();
  }

  private void tell(RefoldQueue.Folded folded, long left) {
    String what =
        folded
            .trouble()
            .map(why -> "cannot be analysed: " + why)
            .orElse(Spoken.counted(folded.findings(), "result"));
    output.line(folded.site() + "/" + folded.pack() + ": " + what + "; " + left + " left");
    output.out().flush();
  }

  private List<Finding> fold(SiteLog held, String pack) throws CentreTrouble {
    Path plan = folder.resolve("plan.toml");
    Path log = folder.resolve("log.db");
    try {
      String text =
          held.planText(pack)
              .orElseThrow(() -> new IllegalArgumentException("its site sent no plan"));
      PackConfig config = FetchedLog.plan(plan, text, pack);
      held.rebuildToFold(log, pack);
      return folded(log, config);
    } catch (StorageFailure failure) {
      throw cannot(failure);
    } catch (StateMismatch damaged) {
      throw new IllegalArgumentException(damaged.getMessage(), damaged);
    } catch (IOException noRoom) {
      throw new Stop(ExitCode.STORE, "no room for a copy of the log: " + noRoom.getMessage());
    } finally {
      FetchedLog.empty(folder);
    }
  }

  /** What only this computer lacks is not the pack's fault, and another worker may do it. */
  private static RuntimeException cannot(StorageFailure failure) {
    boolean isOurs =
        failure.kind() == StorageFailure.Kind.NO_SPACE
            || failure.kind() == StorageFailure.Kind.BUSY;
    return isOurs
        ? LogOptions.storeStop(failure)
        : new IllegalArgumentException(failure.getMessage(), failure);
  }

  private static List<Finding> folded(Path log, PackConfig pack) throws StorageFailure {
    try (LogFile file = LogFile.open(log, OpenMode.WRITER)) {
      Refold.run(file, pack, false);
      List<Finding> all = new ArrayList<>();
      for (FindingName name : FindingName.values()) {
        all.addAll(file.history().findings(pack.plan().id(), name, Long.MIN_VALUE, Long.MAX_VALUE));
      }
      return all;
    }
  }
}

package org.cellherd.app.campaign.fault;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Random;
import org.cellherd.app.campaign.stage.Life;
import org.jspecify.annotations.Nullable;

/** What happens to the log's files: between two runs, or under the running program. */
public enum FileFault implements CampaignFault {
  TAIL_TORN((log, r) -> FileDamage.tear(FileDamage.beside(log, "-tail"), r)),
  TAIL_EMPTY((log, r) -> FileDamage.cut(FileDamage.beside(log, "-tail"), 0)),
  TAIL_NOISE((log, r) -> FileDamage.noise(FileDamage.beside(log, "-tail"), r)),
  WAL_TORN((log, r) -> FileDamage.tear(FileDamage.beside(log, "-wal"), r)),
  WAL_EMPTY((log, r) -> FileDamage.cut(FileDamage.beside(log, "-wal"), 0)),
  WAL_NOISE((log, r) -> FileDamage.noise(FileDamage.beside(log, "-wal"), r)),
  LOG_NOISE(FileDamage::noise),
  LOG_CUT((log, r) -> FileDamage.cut(log, 0.3 + 0.6 * r.nextDouble())),
  LOG_EMPTY((log, r) -> FileDamage.cut(log, 0)),
  TAIL_OF_ANOTHER((log, r) -> OtherLog.putBeside(log, "-tail")),
  WAL_OF_ANOTHER((log, r) -> OtherLog.putBeside(log, "-wal")),
  BROKER_FILE_NOISE((log, r) -> FileDamage.noise(FileDamage.beside(log, "-broker"), r)),
  BIT_FLIPPED_WHILE_RUNNING(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      FileDamage.flip(log, random);
      return () -> world.life().restart(random.nextBoolean(), true, Life.FileWork.NONE);
    }
  },
  MOVED_AWAY(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Path away = world.site().aside(log);
      Files.move(log, away);
      return () -> world.life().restart(false, true, (l, r) -> putBack(away, l));
    }
  },
  DELETED(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      // Held by a second name, so that the books can tell what was in it.
      Path kept = world.site().aside(log);
      Files.createLink(kept, log);
      Files.delete(log);
      return () -> world.life().restart(false, true, Life.FileWork.NONE);
    }
  },
  REPLACED(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Path away = world.site().aside(log);
      Path copy = log.resolveSibling("copy");
      Files.copy(log, copy, StandardCopyOption.REPLACE_EXISTING);
      Files.move(log, away);
      Files.move(copy, log);
      return () -> world.life().restart(false, true, (l, r) -> putBack(away, l));
    }
  },
  OLDER_COPY_PUT_OVER(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      // As owners copy it: without what lies beside it.
      Path copy = world.site().aside(log);
      Files.copy(log, copy);
      return () ->
          world
              .life()
              .restart(
                  random.nextBoolean(),
                  true,
                  (l, r) -> Files.move(copy, l, StandardCopyOption.REPLACE_EXISTING));
    }
  },
  FOLDER_IN_ITS_PLACE(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Path away = world.site().aside(log);
      Files.move(log, away);
      Files.createDirectory(log);
      return () -> world.life().restart(false, true, (l, r) -> putBack(away, l));
    }
  },
  ITS_FOLDER_RENAMED(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Path folder = log.resolveSibling(".").normalize();
      Path away = folder.resolveSibling("renamed");
      Files.move(folder, away);
      return () -> world.life().restart(false, true, (l, r) -> Files.move(away, folder));
    }
  },
  LINKED(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Path elsewhere = Files.createDirectories(log.resolveSibling("elsewhere")).resolve("log.db");
      world
          .life()
          .restart(
              random.nextBoolean(),
              true,
              (l, r) -> {
                Files.move(l, elsewhere);
                Files.createSymbolicLink(l, elsewhere);
              });
      return () ->
          world
              .life()
              .restart(
                  random.nextBoolean(),
                  true,
                  (l, r) -> {
                    Files.delete(l);
                    for (String ending : List.of("", "-wal", "-tail")) {
                      Path moved = FileDamage.beside(elsewhere, ending);
                      if (Files.exists(moved)) {
                        // Beside the link only an empty one is left: the others were brought here.
                        Files.move(
                            moved,
                            FileDamage.beside(l, ending),
                            StandardCopyOption.REPLACE_EXISTING);
                      }
                    }
                  });
    }
  },
  LOCK_DELETED(null) {
    @Override
    Relief underTheProgram(World world, Path log, Random random) throws Exception {
      Files.deleteIfExists(FileDamage.beside(log, ".lock"));
      return () -> world.life().restart(false, false, Life.FileWork.NONE);
    }
  };

  private final Life.@Nullable FileWork between;

  FileFault(Life.@Nullable FileWork between) {
    this.between = between;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.FILE;
  }

  @Override
  public boolean mayHarmLog() {
    return this != BROKER_FILE_NOISE && this != LOCK_DELETED;
  }

  @Override
  public boolean isRealOnly() {
    return between == null;
  }

  @Override
  public Strike strike() {
    return (world, random) -> {
      Life.FileWork work = between;
      if (work == null) {
        if (Files.notExists(world.site().log())) {
          // On a disk that takes nothing the log was not made again yet.
          return Relief.NONE;
        }
        return underTheProgram(world, world.site().log(), random);
      }
      world.life().restart(true, true, work);
      return Relief.NONE;
    };
  }

  Relief underTheProgram(World world, Path log, Random random) throws Exception {
    throw new IllegalStateException("only between two runs: " + this);
  }

  /** The owner puts the right file back; what was written in its place is kept aside. */
  private static void putBack(Path away, Path log) throws IOException {
    if (Files.exists(log)) {
      Files.move(log, away.resolveSibling(away.getFileName() + ".other"));
    }
    Files.move(away, log);
  }
}

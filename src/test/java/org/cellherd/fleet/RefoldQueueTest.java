package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import java.util.UUID;
import org.cellherd.Await;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Facts;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Drawn packs whose sites have drawn versions: whichever workers die, each pack that lacks the
 * results of this program is folded once, the neediest first, and no other.
 */
class RefoldQueueTest {

  private static final int PACKS = 40;
  private static final int OURS = 5;
  private static final Facts VERSIONS =
      Facts.of().put("rest", OURS).put("soc", 2).put("energy", 3).build();

  /** A pack as the site last sent it, and what is right to do. */
  private record Drawn(String id, int worst, long heardMs, String folds, boolean isBehind) {
    static Drawn of(int number, Random random) {
      int rest = OURS - 1 + random.nextInt(3);
      String energy = random.nextInt(4) == 0 ? "" : ", \"energy\": 3";
      String folds =
          switch (random.nextInt(8)) {
            case 0 -> "\"nonsense\"";
            case 1 -> "{\"rest\": \"five\", \"soc\": 2, \"energy\": 3}";
            case 2 -> "null";
            default -> "{\"rest\": " + rest + ", \"soc\": 2" + energy + "}";
          };
      boolean isNewer = folds.contains("\"rest\": " + (OURS + 1));
      boolean isEqual = folds.contains("\"rest\": " + OURS) && folds.contains("energy");
      return new Drawn(
          "p" + number, random.nextInt(4), random.nextInt(1_000), folds, !isNewer && !isEqual);
    }
  }

  private final UUID log = UUID.randomUUID();

  private void put(Centre centre, Drawn pack) throws CentreTrouble {
    centre.change(
        c ->
            Database.update(
                c,
                "WITH now AS (INSERT INTO pack_now(site, log, pack, worst, heard_ms, chemistry,"
                    + " rules) VALUES ('hill', ?, ?, ?, ?, 'lfp', '{}') RETURNING *)"
                    + " INSERT INTO pack_facts SELECT site, log, pack,"
                    + " jsonb_build_object('folds', ?::jsonb) FROM now",
                log,
                pack.id(),
                pack.worst(),
                pack.heardMs(),
                pack.folds()));
  }

  /** A worker that dies at drawn packs by losing its connection in the middle of one. */
  private static final class Worker {
    private final CentreAddress address;
    private final Random random;
    private final List<String> done;

    Worker(CentreAddress address, long seed, List<String> done) {
      this.address = address;
      this.random = new Random(seed);
      this.done = done;
    }

    /** Until nothing waits; each death is followed by another life. */
    int work() throws CentreTrouble {
      int deaths = 0;
      boolean isMore = true;
      while (isMore) {
        try (Centre claims = Centre.openForWriting(address);
            Centre reading = Centre.openForReading(address)) {
          RefoldQueue queue = new RefoldQueue(claims, reading, VERSIONS);
          queue.fill();
          while (queue.waiting() > 0) {
            queue
                .next((site, pack) -> fold(claims, pack))
                .ifPresent(folded -> done.add(folded.pack()));
          }
          isMore = false;
        } catch (CentreTrouble killed) {
          deaths++;
          untilItsConnectionIsGone();
        }
      }
      return deaths;
    }

    /** Until then the server holds its lock, and the next in the queue would come first. */
    private void untilItsConnectionIsGone() throws CentreTrouble {
      try (Centre open = Centre.openForReading(address)) {
        Await.until("the dead worker's lock is free", () -> others(open) == 0);
      }
    }

    private static long others(Centre open) {
      String sql =
          "SELECT count(*) FROM pg_stat_activity"
              + " WHERE datname = current_database() AND pid <> pg_backend_pid()";
      try {
        return open.plain(c -> Database.number(c, sql).orElse(0));
      } catch (CentreTrouble trouble) {
        throw new AssertionError(trouble);
      }
    }

    private List<Finding> fold(Centre claims, String pack) {
      if (random.nextInt(4) == 0) {
        claims.close();
      }
      if (pack.endsWith("7")) {
        throw new IllegalArgumentException("no plan");
      }
      return List.of();
    }
  }

  /** Draws packs into the database; which are to be folded, in order. */
  private List<String> neediest(TestCentre centre, Random random) throws CentreTrouble {
    List<Drawn> packs = new ArrayList<>();
    try (Centre open = Centre.openForWriting(centre.address())) {
      for (int i = 0; i < PACKS; i++) {
        packs.add(Drawn.of(i, random));
        put(open, packs.get(i));
      }
    }
    return packs.stream()
        .filter(Drawn::isBehind)
        .sorted(
            Comparator.comparingInt(Drawn::worst)
                .thenComparingLong(Drawn::heardMs)
                .reversed()
                .thenComparing(Drawn::id))
        .map(Drawn::id)
        .toList();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void whatLacksOurResultsIsFoldedOnceTheNeediestFirst(long seed) throws Exception {
    TestCentre centre = TestCentre.fresh();
    List<String> expected = neediest(centre, new Random(seed));
    List<String> done = new ArrayList<>();
    assertThat(new Worker(centre.address(), seed, done).work()).isPositive();
    assertThat(done).as("seed %d", seed).isEqualTo(expected).hasSizeGreaterThan(10);
    done.clear();
    new Worker(centre.address(), seed, done).work();
    assertThat(done).as("nothing is folded twice").isEmpty();
  }

  /** A worker begins, and takes its share, in the middle of another's pack. */
  private void within(CentreAddress address, int more, List<String> done) throws CentreTrouble {
    try (Centre claims = Centre.openForWriting(address);
        Centre reading = Centre.openForReading(address)) {
      RefoldQueue queue = new RefoldQueue(claims, reading, VERSIONS);
      queue.fill();
      queue.next(
          (site, pack) -> {
            done.add(pack);
            if (more > 0) {
              within(address, more - 1, done);
            }
            return List.of();
          });
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13})
  void noWorkerTakesWhatAnotherHas(long seed) throws Exception {
    TestCentre centre = TestCentre.fresh();
    List<String> done = new ArrayList<>();
    List<String> expected = neediest(centre, new Random(seed));
    within(centre.address(), 6, done);
    assertThat(done).as("seed %d", seed).isEqualTo(expected.subList(0, 7));
    new Worker(centre.address(), seed, done).work();
    assertThat(done).as("seed %d", seed).containsExactlyInAnyOrderElementsOf(expected);
  }
}

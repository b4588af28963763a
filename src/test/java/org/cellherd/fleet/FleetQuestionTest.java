package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.TreeSet;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.api.Test;

class FleetQuestionTest {

  private static final String LOG = "00000000-0000-4000-8000-000000000001";
  private static final long DAY_MS = 86_400_000;
  private static final Optional<String> ANY = Optional.empty();

  private static LocalDate day(long ms) {
    return Instant.ofEpochMilli(ms).atZone(ZoneOffset.UTC).toLocalDate();
  }

  private static long ms(LocalDate day) {
    return day.toEpochDay() * DAY_MS;
  }

  private static void run(Centre centre, String sql) throws CentreTrouble {
    centre.change(
        c -> {
          Database.execute(c, sql);
          return true;
        });
  }

  /** Two sessions of a day, of which the second went lower and the first higher. */
  private static void put(Centre centre, String pack, LocalDate month, long startMs, int low)
      throws CentreTrouble {
    for (int session = 1; session <= 2; session++) {
      run(
          centre,
          String.format(
              "INSERT INTO day_sum VALUES ('hill', '%s', '%s', '%s', %d, %d, '{cell_1_v,current_a}',"
                  + " '{9,9}', '{%d,-900}', '{33000,0}', '{%d,40000}')",
              LOG, month, pack, session, startMs, low - session, 36_000 - session));
    }
  }

  /** The strip of a pack ends where the pack was last heard, whatever lies before or elsewhere. */
  @Test
  void theDaysOfAPackAreTheNewestUpToWhenItWasHeard() throws CentreTrouble {
    long seed = Long.getLong("cellherd.seed", 1);
    Random random = new Random(seed);
    Months months = new Months();
    List<List<FleetPack.DayOfCells>> expected = new ArrayList<>();
    try (Centre centre = Centre.openForWriting(TestCentre.fresh().address())) {
      for (int i = 0; i < 6; i++) {
        String pack = "p" + i;
        // A clock of 1970 stays there; the others were last heard within two years.
        LocalDate heard =
            i == 0
                ? LocalDate.of(1970, 1, 20)
                : LocalDate.of(2026, 10, 31).minusDays(random.nextInt(700));
        TreeSet<Long> days = new TreeSet<>();
        for (int d = 0; d < 45; d++) {
          if (random.nextInt(6) > 0 && heard.minusDays(d).getYear() != 1969) {
            days.add(ms(heard.minusDays(d)));
          }
        }
        // Of a year before there are some, too.
        for (int d = 370; d < 380 && i > 0; d++) {
          put(
              centre,
              pack,
              months.place(centre, ms(heard.minusDays(d))),
              ms(heard.minusDays(d)),
              1);
        }
        List<FleetPack.DayOfCells> newest = new ArrayList<>();
        for (long start : days) {
          int low = 30_000 + random.nextInt(3_000);
          put(centre, pack, months.place(centre, start), start, low);
          if (i == 0 || !day(start).isBefore(heard.withDayOfMonth(1).minusMonths(1))) {
            newest.add(new FleetPack.DayOfCells(start, low - 2, 35_999));
          }
        }
        expected.add(newest.subList(Math.max(0, newest.size() - 30), newest.size()));
        run(
            centre,
            String.format(
                "INSERT INTO pack_now(site, log, pack, worst, since_ms, heard_ms, chemistry, rules)"
                    + " VALUES ('hill', '%s', '%s', 0, NULL, %d, 'lfp', '{}')",
                LOG, pack, ms(heard) + random.nextInt(86_400_000)));
      }
      FleetQuestion all = new FleetQuestion(ANY, ANY, ANY, 50);

      List<FleetPack> packs = all.ask(centre);

      assertThat(packs).extracting(FleetPack::days).as("seed %d", seed).isEqualTo(expected);
      assertThat(all.count(centre, packs)).isEqualTo(6);
      FleetQuestion few = new FleetQuestion(ANY, ANY, ANY, 2);
      assertThat(few.count(centre, few.ask(centre))).isEqualTo(6);
    }
  }
}

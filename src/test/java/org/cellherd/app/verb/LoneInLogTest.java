package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Logs of a calm pack into which single false values of every measured channel are drawn, and
 * changes that stay: the first are told with the export, the second are not.
 */
class LoneInLogTest {
  private static final String HEADER =
      "time,current_a,pack_v,cell_1_v,cell_2_v,cell_3_v,cell_4_v,temp_1_c,temp_2_c,soc_pct";
  private static final String PLAN =
      """
      zone = "UTC"
      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = 4
      parallel = 1
      rated_ah = 27
      """;

  /** Column and value, and how a person would say it. */
  private static final String[][] FALSE = {
    {"7", "-108.0", "temperature sensor 1 read \u2212108.0 \u00b0C"},
    {"8", "-41.0", "temperature sensor 2 read \u221241.0 \u00b0C"},
    {"7", "120.0", "temperature sensor 1 read 120.0 \u00b0C"},
    {"9", "127.0", "the board's state of charge read 127 %"},
    {"4", "0.0000", "cell 2 read 0.000 V"},
    {"1", "-655.000", "the current read \u2212655.0 A"},
    {"2", "0.000", "the pack voltage read 0.00 V"},
    {"6", "4.2000", "cell 4 read 4.200 V"},
  };

  @TempDir private Path folder;

  @Test
  void singleFalseValuesAreToldWithTheLogAndLastingOnesNot() throws Exception {
    for (int seed = 1; seed <= 6; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      List<String> told = new ArrayList<>();
      List<String> lines = new ArrayList<>(List.of(HEADER));
      int wrongAt = 5 + random.nextInt(20);
      int stepAt = random.nextInt(300);
      for (int i = 0; i < 300; i++) {
        String[] row = row(random, i, i >= stepAt);
        boolean isWrong = i == wrongAt && Math.abs(i - stepAt) > 2;
        if (isWrong) {
          String[] wrong = FALSE[random.nextInt(FALSE.length)];
          row[Integer.parseInt(wrong[0])] = wrong[1];
          told.add(wrong[2] + " at " + row[0].substring(11, 16));
        }
        wrongAt += i == wrongAt ? 20 + random.nextInt(60) : 0;
        lines.add(String.join(",", row));
      }

      String doubt = doubt(seed, lines);

      int named = Math.min(5, told.size());
      for (String one : told.subList(told.size() - named, told.size())) {
        assertThat(doubt).as("seed %d", seed).contains(one);
      }
      assertThat(doubt.split(" read ", -1)).as("seed %d: %s", seed, doubt).hasSize(named + 1);
      if (told.size() > named) {
        assertThat(doubt).contains("and " + (told.size() - named) + " more before");
      }
    }
  }

  private String doubt(int seed, List<String> lines) throws Exception {
    Path plan = folder.resolve("plan.toml");
    Files.writeString(plan, PLAN);
    Path csv = folder.resolve(seed + ".csv");
    Files.write(csv, lines);
    String db = folder.resolve(seed + ".db").toString();
    String[] to = {"import", "--db", db, "--plan", plan.toString(), "--anyway", csv.toString()};
    Said stored = Said.by(to);
    assertThat(stored.code()).as(stored.err()).isZero();
    Said out = Said.by("export", "--db", db, "--plan", plan.toString());
    assertThat(out.code()).as(out.err()).isZero();
    return out.err();
  }

  /** A calm pack; a sensor that is moved to a warmer place stays there. */
  private static String[] row(Random random, int i, boolean isMoved) {
    String time = Instant.parse("2026-03-01T10:00:00Z").plusSeconds(i * 2L).toString();
    String[] row = {time, "4.0", "13.3", "3.33", "3.33", "3.33", "3.33", "20", "21", "62"};
    row[3] = "3.33" + random.nextInt(10);
    row[8] = isMoved ? "48" : "21";
    return row;
  }
}

package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** How much of a time an imported file covers: no gap is named in it, holes are drawn into it. */
class ImportedCoverageTest {

  private static final long BEGIN_MS = Instant.parse("2026-01-05T00:00:00Z").toEpochMilli();
  private static final Pattern COVERED = Pattern.compile("(\\d+\\.\\d) % of the time");
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

  @TempDir private Path folder;

  /** Hours that are covered, and holes. */
  private record Drawn(List<String> lines, double percent, double holesPercent) {}

  /** Up to so many steps of a length long; a hole of three steps is none yet. */
  private static Drawn drawn(long seed, int stepS, int least, int longest, int hours) {
    Random random = new Random(seed);
    List<String> lines =
        new ArrayList<>(List.of("time,current_a,cell_1_v,cell_2_v,cell_3_v,cell_4_v"));
    long steps = hours * 3600L / stepS;
    long heard = 0;
    int holes = 0;
    for (long step = 0; step < steps; ) {
      long run = Math.min(steps - step, 20 + random.nextInt(longest + 60));
      for (long i = step; i < step + run; i++) {
        String time = Instant.ofEpochMilli(BEGIN_MS + i * stepS * 1000).toString();
        lines.add(time + ",1.000,3.3300,3.3310,3.3320,3.3330");
      }
      heard += run - 1;
      step += run + least + random.nextInt(longest - least);
      holes++;
    }
    return new Drawn(lines, 100.0 * heard / steps, 100.0 * holes / hours);
  }

  /** Seed; seconds between readings; longest hole in such steps; hours. */
  @ParameterizedTest
  @CsvSource({"1, 5, 8, 3", "2, 5, 40, 8", "3, 10, 15, 24", "4, 30, 10, 40", "5, 60, 90, 71"})
  void ofAFewDaysEveryHoleCounts(long seed, int stepS, int longest, int hours) throws Exception {
    Drawn drawn = drawn(seed, stepS, 4, longest, hours);

    // A step beside each hole, and the end.
    assertThat(covered(drawn, hours)).isCloseTo(drawn.percent, within(0.5));
  }

  /** An hour with a reading is told as heard: at both edges of a hole. */
  @ParameterizedTest
  @CsvSource({"6, 300, 150, 240", "7, 600, 80, 1440", "8, 600, 80, 1700", "9, 900, 90, 2200"})
  void ofManyDaysHolesOfHoursCount(long seed, int stepS, int longest, int hours) throws Exception {
    Drawn drawn = drawn(seed, stepS, longest / 2, longest, hours);

    assertThat(covered(drawn, hours))
        .isBetween(drawn.percent - 0.1, drawn.percent + 2 * drawn.holesPercent + 0.5);
  }

  private double covered(Drawn drawn, int hours) throws Exception {
    String plan = Files.writeString(folder.resolve("plan.toml"), PLAN).toString();
    Path csv = Files.write(folder.resolve("log.csv"), drawn.lines);
    String db = folder.resolve("log.db").toString();
    Said stored =
        Said.by(
            "import", "--db", db, "--plan", plan, "--pack", "crate", "--anyway", csv.toString());
    assertThat(stored.code()).as(stored.err()).isZero();
    String to = Instant.ofEpochMilli(BEGIN_MS + hours * 3_600_000L).toString();
    String file = folder.resolve("report.txt").toString();
    Said said =
        Said.by("report", "--db", db, "--plan", plan, "--from", "2026-01-05", "--to", to, file);
    assertThat(said.code()).as(said.err()).isZero();
    Matcher told = COVERED.matcher(Files.readString(Path.of(file)));
    assertThat(told.find()).isTrue();
    return Double.parseDouble(told.group(1));
  }
}

package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.cellherd.Figures;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is told of a drawn log in several places: everywhere the same, and in the same form. */
class OneAnswerTest {

  private static final List<String> VERBS =
      List.of("balance", "energy", "capacity", "ageing", "resistance", "rest", "alerts");

  /** Sentences that a verb adds for who asks it, and a report has no room for. */
  private static final Pattern ADVICE =
      Pattern.compile("No .* found.*|No load steps .*|What .*|No active alert\\.|Times are .*");

  /** A report has the hours, too. */
  private static final Pattern DATED =
      Pattern.compile("^\\d+ [A-Z][a-z]{2} \\d{4}  (?! *[-0-9.]+ {2})");

  private static final Pattern DAY =
      Pattern.compile(
          "\"day\": \"(.*)\"[^}]*\"charged_wh\": ([-0-9.]+)"
              + ",\\s*\"charged_wh_low\": ([-0-9.]+),\\s*\"charged_wh_high\": ([-0-9.]+)");

  private static final Pattern LEAD =
      Pattern.compile(
          "\"cell\": (\\d+),\\s*\"low_ah\": (\\S+),\\s*\"mid_ah\": (\\S+),\\s*\"high_ah\":"
              + " ([-.\\d]+)");

  /** The end of a charge that left a cell apart. */
  private static final Pattern LEFT_APART =
      Pattern.compile("Charged (?:until|to) [^;]*; (cell \\d+ was (?!.*balanced at).*)");

  private static final Pattern LAST_TOP = Pattern.compile("at the last top, [^,]*, (.*)");

  /** What labels say of a plan: its charge, its usual limits and ratings. */
  private static final Facts PLANNED =
      Facts.of()
          .put("rated_ah", List.of(27, 100))
          .put("charge_v", List.of(14, 55.6))
          .put("nominal_v", List.of(12.8, 51.2))
          .put("cells_v", List.of(2.5, 3.65))
          .put("cold_c", 0)
          .build();

  private static final Pattern OF_MANY = Pattern.compile("On (\\d+) days.* ([0-9.]+) kWh went in");

  @TempDir private static Path folder;
  private static final Map<Long, DrawnLog> DRAWN = new HashMap<>();

  /** Each is drawn once. */
  private static DrawnLog drawn(long seed) throws IOException {
    DrawnLog known = DRAWN.get(seed);
    if (known == null) {
      known = new DrawnLog(Files.createDirectories(folder.resolve("" + seed)), seed);
      DRAWN.put(seed, known);
    }
    return known;
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void verbsAndReportsAgree(long seed) throws IOException {
    DrawnLog log = drawn(seed);
    for (String pack : List.of("shed", "crate")) {
      String text = log.report(pack, "text");
      String html = log.report(pack, "html");
      for (String verb : VERBS) {
        for (String line : log.run(verb, "--pack", pack).lines().toList()) {
          if (!ADVICE.matcher(line).matches()) {
            assertThat(text)
                .as("%s of %s, seed %d", verb, pack, seed)
                .contains(DATED.matcher(line).replaceFirst(""));
          }
        }
      }
      energy(log.run("energy", "--pack", pack, "--json"), text, html);
      leads(log.run("balance", "--pack", pack, "--json"), text);
      lastTop(text);
      Figures figures = new Figures(0).and(PLANNED);
      for (String verb : VERBS) {
        figures.and(log.run(verb, "--pack", pack, "--json"));
      }
      String label = log.run("label", "--pack", pack);
      assertThat(label.lines().flatMap(line -> figures.unknownIn(line).stream()))
          .as("label of %s, seed %d", pack, seed)
          .isEmpty();
    }
  }

  private static void energy(String json, String text, String html) {
    List<MatchResult> days = DAY.matcher(json).results().toList();
    assertThat(days).isNotEmpty();
    boolean isSmall = html.contains(">in, Wh<");
    for (MatchResult day : days) {
      Interval wh =
          new Interval(
              Double.parseDouble(day.group(3)),
              Double.parseDouble(day.group(2)),
              Double.parseDouble(day.group(4)));
      String in = isSmall ? wh.words(1) : wh.times(1e-3).words(2);
      assertThat(html)
          .contains(
              "<th scope=\"row\">"
                  + SpokenTime.day(LocalDate.parse(day.group(1)))
                  + "<td class=\"n\">"
                  + in
                  + "<");
    }
    double in = days.stream().mapToDouble(day -> Double.parseDouble(day.group(2))).sum();
    OF_MANY
        .matcher(text)
        .results()
        .forEach(
            all ->
                assertThat(all.group(1) + " " + all.group(2))
                    .isEqualTo(String.format(Locale.ROOT, "%d %.1f", days.size(), in / 1000)));
  }

  /** What the newest full charge left is said again once the pack is not at its top. */
  private static void lastTop(String text) {
    List<MatchResult> left = LEFT_APART.matcher(text).results().toList();
    boolean isNewest =
        !left.isEmpty() && text.indexOf("Charged ", left.get(left.size() - 1).end()) < 0;
    if (isNewest) {
      assertThat(LAST_TOP.matcher(text).results())
          .allSatisfy(
              top -> assertThat(top.group(1)).isEqualTo(left.get(left.size() - 1).group(1)));
    }
  }

  private static void leads(String json, String text) {
    List<MatchResult> leads = LEAD.matcher(json).results().toList();
    assertThat(leads.isEmpty()).isEqualTo(json.contains("\"lead\": []"));
    for (MatchResult lead : leads) {
      String same = " +%s +%s[.0]*( \\(%s[.0]* to %s[.0]*\\))?\n";
      assertThat(text)
          .containsPattern(
              same.formatted(lead.group(1), lead.group(3), lead.group(2), lead.group(4)));
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void everyTextHasOneFormOfDatesNoFieldNameAndNoMinusZero(long seed) throws IOException {
    DrawnLog log = drawn(seed);
    for (String pack : List.of("shed", "crate")) {
      StringBuilder all = new StringBuilder(log.report(pack, "text"));
      all.append(log.report(pack, "html").replaceAll("(?s)<style.*?</style>|<[^>]*>", " "));
      for (String verb : VERBS) {
        all.append(log.run(verb, "--pack", pack));
      }
      assertThat(all.toString())
          .as("%s, seed %d", pack, seed)
          .doesNotContainPattern("\\d{4}-\\d\\d-\\d\\d")
          .doesNotContainPattern("\\bis:|: [^,;(\n]*, [a-z ]+: |at least, |at most, |best estimate")
          .doesNotContainPattern("[-\u2212]0(\\.0+)?(?![.0-9])")
          .doesNotContainPattern("\\b[a-z]+_[a-z0-9]+");
    }
  }
}

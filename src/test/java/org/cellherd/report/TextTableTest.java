package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Columns stand below each other, whatever is in them. */
class TextTableTest {

  /** Names and how many columns terminals give them, by Unicode's East Asian Width. */
  private static final Map<String, Integer> NAMES =
      Map.of(
          "a", 1,
          "shed battery of the old mill, second floor", 42,
          "\u96fb\u6c60\u7bb1", 6,
          "\ud55c\uad6d", 4,
          "e\u0301te\u0301", 3,
          "\uff21\uff22", 4,
          "\ud83d\udd0b", 2,
          "\u0441\u0430\u0440\u0430\u0439", 5);

  private static final Pattern PADDED = Pattern.compile("%-?(?!4s)\\d+s");

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void columnsBeginBelowEachOther(long seed) {
    Random random = new Random(seed);
    List<String> names = new ArrayList<>(NAMES.keySet());
    List<String> drawn = new ArrayList<>();
    TextTable table = new TextTable(2).row("name", "Ah", "says");
    for (int i = 0; i < 1 + random.nextInt(9); i++) {
      String name = names.get(random.nextInt(names.size()));
      drawn.add(name);
      table.row(name, Integer.toString(random.nextInt(1 << random.nextInt(20))), "|end");
    }
    int widest = drawn.stream().mapToInt(NAMES::get).max().orElseThrow();

    List<String> lines = table.lines();

    int bars = -1;
    for (int i = 0; i < drawn.size(); i++) {
      String line = lines.get(i + 1);
      assertThat(line).as("seed %d", seed).startsWith("  " + drawn.get(i)).endsWith("  |end");
      int letters = line.length() - drawn.get(i).length() - 2;
      int bar = 2 + NAMES.getOrDefault(drawn.get(i), 0) + letters - "|end".length();
      bars = bars < 0 ? bar : bars;
      assertThat(bar).as("seed %d, %s", seed, line).isEqualTo(bars).isGreaterThan(widest + 2);
    }
  }

  /** No word is lost or broken, and no line is wider than asked for but for one longer word. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aFoldedLineKeepsItsWordsAndTheMargin(long seed) {
    Random random = new Random(seed);
    List<String> words = new ArrayList<>();
    for (int i = 0; i < random.nextInt(60); i++) {
      words.add("\u6c60w".repeat(1 + random.nextInt(random.nextInt(20) == 0 ? 40 : 6)));
    }
    int columns = 20 + random.nextInt(60);
    String line = " ".repeat(random.nextInt(9)) + String.join(" ", words);

    List<String> lines = TextTable.folded(line, columns);

    List<String> kept = new ArrayList<>();
    for (String folded : lines) {
      List<String> own = List.of(folded.strip().split(" +"));
      kept.addAll(own);
      int wide = folded.codePoints().map(c -> c > 0x2E80 ? 2 : 1).sum();
      assertThat(own.size() == 1 || wide <= columns).as("seed %d: %s", seed, folded).isTrue();
    }
    assertThat(String.join(" ", kept)).isEqualTo(String.join(" ", words));
  }

  /** What continues the last cell of a row is read below it, not below the names of the rows. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aFoldedRowHangsBelowItsLastCell(long seed) {
    Random random = new Random(seed);
    String name = "\u6c60w".repeat(1 + random.nextInt(6));
    String says = "so it says ".repeat(9 + random.nextInt(20)).strip();
    String row = new TextTable(2).row(name, "3.650 V", says).lines().get(0);
    int at = TextTable.width(row.substring(0, row.indexOf(says)));

    List<String> lines = TextTable.folded(row, TextTable.TERMINAL);

    assertThat(lines.subList(1, lines.size()))
        .as("seed %d", seed)
        .isNotEmpty()
        .allSatisfy(line -> assertThat(line).matches(" {" + at + "}\\S.*"));
  }

  /** Wide names of columns are broken above their values; each value stands below its own. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void namesOfColumnsAreBrokenBeforeRowsAre(long seed) {
    Random random = new Random(seed);
    int columns = 5 + random.nextInt(2);
    List<String> names = new ArrayList<>();
    for (int i = 0; i < columns; i++) {
      names.add("scatter of the steps, unit " + (char) ('a' + i));
    }
    TextTable table = new TextTable(8).row(names.toArray(String[]::new));
    for (int row = 0; row < 4; row++) {
      table.row(names.stream().map(n -> "" + (1 + random.nextInt(99_999))).toArray(String[]::new));
    }

    List<String> lines = table.linesWithin(TextTable.TERMINAL);

    assertThat(lines)
        .as("seed %d", seed)
        .allSatisfy(line -> assertThat(line).hasSizeLessThanOrEqualTo(TextTable.TERMINAL));
    assertThat(lines.subList(lines.size() - 4, lines.size()))
        .allSatisfy(line -> assertThat(line.strip().split(" +")).hasSize(columns));
    // Read downwards each column has its whole name.
    for (int i = 0; i < columns; i++) {
      assertThat(lines.get(lines.size() - 5).strip().split(" {2,}")[i])
          .endsWith("" + (char) ('a' + i));
    }
  }

  /** A line ends between words, but not between a figure and its unit. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aFigureStaysWithItsUnit(long seed) {
    Random random = new Random(seed);
    List<String> units = List.of("Ah", "Wh", "kWh", "A", "V", "mV", "%", "\u00b0C", "h", "min");
    StringBuilder text = new StringBuilder("   It says");
    for (int i = 0; i < 40; i++) {
      text.append(" in ").append(random.nextInt(1_000)).append(' ');
      text.append(units.get(random.nextInt(units.size())));
    }

    List<String> lines = TextTable.folded(text.toString(), 20 + random.nextInt(60));

    assertThat(lines).as("seed %d", seed).noneMatch(line -> line.matches(".*\\d"));
    assertThat(String.join(" ", lines).replaceAll(" +", " "))
        .isEqualTo(text.toString().replaceAll(" +", " "));
  }

  /** Four letters hold every verdict; any other fixed width breaks with the first longer name. */
  @Test
  void noVerbPadsItsColumnsByItself() throws IOException {
    List<String> padding = new ArrayList<>();
    for (String part : List.of("app", "report", "pile")) {
      try (Stream<Path> files = Files.walk(Path.of("src/main/java/org/cellherd", part))) {
        for (Path file : files.filter(f -> f.toString().endsWith(".java")).toList()) {
          for (String line : Files.readAllLines(file)) {
            if (PADDED.matcher(line).find()) {
              padding.add(file.getFileName() + ": " + line.strip());
            }
          }
        }
      }
    }
    assertThat(padding).isEmpty();
  }
}

package org.cellherd.toml;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class TomlTableTest {

  private enum Colour {
    DARK_RED,
    BLUE
  }

  private final Problems problems = new Problems();

  private TomlTable read(String text) {
    return TomlDocument.parse("a.toml", text, problems).orElseThrow();
  }

  @Test
  void goodValuesAreReadWithoutAProblem() {
    TomlTable t =
        read(
            "name = \"x\"\nn = 5\nd = 2\nok = true\nlist = [\"a\"]\nc = \"dark_red\"\nt = 2026-01-01T00:00:00Z\n");

    assertThat(t.text("name")).isEqualTo("x");
    assertThat(t.integer("n", 1, 9)).isEqualTo(5);
    assertThat(t.decimal("d", 0, 9)).isEqualTo(2.0);
    assertThat(t.bool("ok")).isTrue();
    assertThat(t.texts("list")).containsExactly("a");
    assertThat(t.oneOf("c", Colour.class)).isEqualTo(Colour.DARK_RED);
    assertThat(t.timeMs("t")).isEqualTo(1767225600000L);
    t.finish();
    assertThat(problems.isEmpty()).isTrue();
  }

  @Test
  void unknownKeyIsRefusedWithASuggestion() {
    TomlTable t = read("\nbaudd = 9600\n");

    t.integer("baud", 50, 4000000, 9600);
    t.finish();

    assertThat(problems.toString()).isEqualTo("a.toml:2 baudd: unknown key, did you mean baud?");
  }

  /** Whatever is written in volts, amperes or mAh is named in the unit of its key. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aValueInTheWrongUnitIsRefusedWithTheRightOne(long seed) {
    int right = 10 * new Random(seed).nextInt(100, 6_000) + 1;
    TomlTable t = read("charge_mv = %s\nrated_ah = %d000\n".formatted(right / 1000.0, right));

    t.integer("charge_mv", 1, 100_000);
    t.decimal("rated_ah", 0.01, 100_000);

    assertThat(problems.toString())
        .isEqualTo(
            "a.toml:1 charge_mv: is %s, allowed: a whole number 1 to 100000, did you mean %d?%n"
                    .formatted(right / 1000.0, right)
                + "a.toml:2 rated_ah: is %d000, allowed: 0.01 to 100000, did you mean %d?"
                    .formatted(right, right));
  }

  @Test
  void allProblemsComeAtOnceInTheOrderOfLines() {
    TomlTable t = read("a = 1\nb = \"x\"\nc = 300\n");

    t.integer("c", 0, 255);
    t.integer("b", 0, 255);
    t.text("a");
    t.text("missing");
    t.finish();

    assertThat(problems.sorted().stream().map(Problems.Problem::toString))
        .containsExactly(
            "a.toml:1 a: is 1, allowed: a text in quotes",
            "a.toml:1 missing: is missing, allowed: a text in quotes",
            "a.toml:2 b: is the text \"x\", allowed: a whole number 0 to 255",
            "a.toml:3 c: is 300, allowed: 0 to 255");
  }

  @Test
  void problemsInNestedTablesNameTheirPath() {
    TomlTable t = read("[[pack]]\nid = 1\n[[pack]]\n[pack.board]\nbaud = \"q\"\n");

    List<TomlTable> packs = t.tables("pack");
    packs.get(0).text("id");
    packs.get(1).table("board").integer("baud", 1, 2);
    t.finish();

    assertThat(problems.toString())
        .isEqualTo(
            "a.toml:2 pack[1].id: is 1, allowed: a text in quotes\n"
                + "a.toml:5 pack[2].board.baud: is the text \"q\", allowed: a whole number 1 to 2");
  }

  @Test
  void wrongWordOfAListIsRefusedWithTheNearestOne() {
    read("parity = \"evem\"\n").oneOf("parity", List.of("none", "odd", "even"));

    assertThat(problems.toString())
        .isEqualTo("a.toml:1 parity: is \"evem\", allowed: none, odd, even, did you mean even?");
  }

  @Test
  void keysWithDotsAndQuotesAreKeptApart() {
    TomlTable t = read("\"a.b\" = 1\n");

    assertThat(t.has("a.b")).isTrue();
    assertThat(t.has("a")).isFalse();
    t.integer("a.b", 2, 3);

    assertThat(problems.toString()).isEqualTo("a.toml:1 \"a.b\": is 1, allowed: 2 to 3");
  }

  @Test
  void elementsOfAListAreNumberedFromOne() {
    List<Double> good = read("n = [1,\n 2000,\n 3]\n").decimals("n", 0, 255);

    assertThat(good).containsExactly(1.0, 3.0);
    assertThat(problems.toString())
        .isEqualTo("a.toml:2 n[2]: is 2000, allowed: a list of numbers 0 to 255");
  }

  @Test
  void syntaxErrorsGiveTheirLine() {
    assertThat(TomlDocument.parse("a.toml", "a = 1\nb = = 2\n", problems)).isEmpty();

    assertThat(problems.toString()).startsWith("a.toml:2: no valid TOML: ");
  }

  /** As a table of cells where the plan should be: not a screen full of the same. */
  @Test
  void aFileOfAnotherKindIsSaidInFourLines() {
    String rows = "id,rest_1_v,cap_1_ah\n" + "a1,3.301,8.4\n".repeat(100);

    assertThat(TomlDocument.parse("a.csv", rows, problems)).isEmpty();

    assertThat(problems.toString().lines())
        .hasSize(4)
        .last()
        .isEqualTo("a.csv:4: no valid TOML here and below: is it a file of another kind?");
  }

  /**
   * What people type where it does not belong, at any place of a right file that may be cut off.
   */
  @Test
  void marksAtAnyPlaceGiveATableOrProblems() {
    String right = "a = [\n  { b = 1, c = \"x\" },\n  { b = 2, c.d = [1, 2] },\n]\n[e]\nf = 3\n";
    List<String> marks =
        List.of("#", "\n", "{", "}", "[", "]", ",", "=", "\"", ".", " # note\n", "#\3 x");
    Random random = new Random(18);
    for (int run = 0; run < 3000; run++) {
      StringBuilder text = new StringBuilder(right);
      for (int n = 1 + random.nextInt(3); n > 0; n--) {
        int at = random.nextInt(text.length());
        text.replace(at, at + random.nextInt(2), marks.get(random.nextInt(marks.size())));
      }
      text.setLength(random.nextBoolean() ? text.length() : random.nextInt(text.length()));
      Problems found = new Problems();

      boolean isTable = TomlDocument.parse("a.toml", text.toString(), found).isPresent();

      assertThat(isTable).as(text.toString()).isEqualTo(found.isEmpty());
      assertThat(found.toString()).doesNotContain("a.toml: ");
    }
  }

  /** A text that fuzzing found; tomlj 2.2.0 itself fails at it. */
  @Test
  void whatTheParserFailsAtIsRefusedAtItsLine() {
    assertThat(TomlDocument.parse("a.toml", "x = 1\na = { b = 1, #\3 note\n", problems)).isEmpty();

    assertThat(problems.toString()).startsWith("a.toml:2: no valid TOML: ");
  }

  @Test
  void infinityAndNotANumberAreNoNumbers() {
    TomlTable t = read("a = inf\nb = nan\n");

    t.decimal("a", 0, 10);
    t.decimal("b", 0, 10);

    assertThat(problems.count()).isEqualTo(2);
  }

  @Test
  void tooLongAndTooDeepFilesAreRefused() {
    assertThat(TomlDocument.parse("a", "#".repeat(2_000_000), problems)).isEmpty();
    assertThat(TomlDocument.parse("b", "a = " + "[".repeat(30_000), problems)).isEmpty();

    assertThat(problems.count()).isEqualTo(2);
  }

  @Test
  void aHostileFileGivesABoundedListOfProblems() {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < 1000; i++) {
      text.append(String.format(Locale.ROOT, "key%d = 1%n", i));
    }
    read(text.toString()).finish();

    assertThat(problems.count()).isEqualTo(1000);
    assertThat(problems.sorted()).hasSize(Problems.MOST);
  }

  @Test
  void swappedLettersCountAsOneMistake() {
    assertThat(Suggestion.distance("baud", "buad")).isEqualTo(1);
    assertThat(Suggestion.nearest("temperature", List.of("cell", "temperatures")))
        .contains("temperatures");
    assertThat(Suggestion.nearest("zzz", List.of("cell"))).isEmpty();
  }
}

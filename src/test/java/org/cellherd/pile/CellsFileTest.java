package org.cellherd.pile;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CellsFileTest {

  private static String problems(String... lines) {
    Problems problems = new Problems();
    CellsFile.read("cells.csv", List.of(lines), problems);
    return problems.toString();
  }

  private static Unit only(String... lines) {
    Problems problems = new Problems();
    List<Unit> units = CellsFile.read("cells.csv", List.of(lines), problems);
    assertThat(problems.toString()).isEmpty();
    return units.get(0);
  }

  @Test
  void everyColumnIsReadAndAnyMayBeEmpty() {
    Unit unit =
        only(
            "id,donor,chemistry,rated_ah,series,parallel,made,mass_g,damage,remarks,rest_1_v,rest_1_at,"
                + "rest_2_v,rest_2_at,res_1_mohm,res_1_by,res_1_s,res_1_a,res_1_c,cap_1_ah,cap_1_a,cap_1_c,cap_1_to_v",
            "a1,blue,lfp,9,1,2,2019-05,480,dented,\"corner, one\",3.301,2026-03-01T18:00,3.299,"
                + "2026-03-09T18:00+01:00,3.9,dc,10,5,21,8.4,2,22,2.5");

    assertThat(unit.damage()).containsExactly(Damage.DENTED);
    assertThat(unit.remarks()).isEqualTo("corner, one");
    assertThat(unit.rests()).hasSize(2);
    assertThat(unit.resistance().orElseThrow().how()).isEqualTo("DC at 10 s");
    assertThat(unit.capacity().orElseThrow().cutOffMv()).hasValue(2500);
    assertThat(only("id", "x").capacity()).isEmpty();
  }

  @Test
  void spreadsheetsWithDecimalCommasAreRead() {
    Unit unit = only("\ufeffid;rest_1_v;cap_1_ah", "a1;3,301;8,4");

    assertThat(unit.restMvPerCell()).hasValue(3301);
    assertThat(unit.capacity().orElseThrow().ah()).isEqualTo(8.4);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "id,rest_1_w | a,3 | cells.csv:1 rest_1_w: unknown column, did you mean rest_1_v?",
        "id,id | a,b | cells.csv:1 id: this column is there twice",
        "donor | a | cells.csv:1: the column id is missing",
        "id,cap_1_ah | a,2600 | cells.csv:2 cap_1_ah: 2600 Ah looks like mAh; the column holds Ah, did you mean 2.6?",
        "id,rest_1_v | a,3301 | cells.csv:2 rest_1_v: 3301, did you mean 3.3?, allowed: 0 to 6",
        "id,rest_1_v | a,6.0001 | cells.csv:2 rest_1_v: 6.0001, allowed: 0 to 6",
        "id,res_1_mohm | a,0.00055 | cells.csv:2 res_1_mohm: 0.00055, did you mean 0.55?, allowed: 0.001 to 100000",
        "id,rest_1_v,rest_1_at | a,3.3,2.11.2026 18:00 | cells.csv:2 rest_1_at: \"2.11.2026 18:00\" is no time; write 2026-03-01T18:00 or 2026-03-01",
        "a1,3.301,2026-03-01 | a2,3.302,2026-03-01 | cells.csv:1: only unknown columns; the first line names the columns, such as id,rest_1_v",
        "id,chemistry | a,lpf | cells.csv:2 chemistry: \"lpf\", did you mean lfp?, allowed: lfp, nmc, nca, lto, sodium-ion",
        "id,damage | a,swolen | cells.csv:2 damage: \"swolen\", did you mean swollen?, allowed: swollen, wet, dented, punctured, hot, leaked; other words belong in remarks",
        "id,made | a,31.5.2019 | cells.csv:2 made: \"31.5.2019\" is no day; write 2019-05-31, 2019-05 or 2019",
        "id,rated_ah | a,ten | cells.csv:2 rated_ah: \"ten\" is not a number",
        "id,res_1_mohm,res_1_by | a,4,dc | cells.csv:2 res_1_by: is dc: dc has the seconds after the step in res_1_s, ac has none",
        "id | a,b | cells.csv:2: holds 2 fields, the header names 1 column; put remarks with a separator in quotes, and beside decimal commas separate by semicolons",
        "id;rest_1_v | a;3,3;1 | cells.csv:2: holds 3 fields, the header names 2 columns; put remarks with a separator in quotes",
        "id\trest_1_v | a\t3.3 | cells.csv:1: tabs separate the columns; separate them by commas or semicolons"
      })
  void aMistakeIsToldByLineAndColumnWithWhatIsRight(String header, String row, String message) {
    assertThat(problems(header, row)).isEqualTo(message);
  }

  @Test
  void anIdTwiceAndTimesOutOfOrderAreTold() {
    assertThat(problems("id", "a", "b", "a"))
        .startsWith("cells.csv:4 id: \"a\" is also in line 2; each unit has one line");
    assertThat(
            problems("id,rest_1_v,rest_1_at,rest_2_v,rest_2_at", "a,3.3,2026-03-02,3.3,2026-03-01"))
        .startsWith("cells.csv:2 rest_2_at: is not later than the voltage before it");
  }

  @Test
  void allMistakesAreToldAtOnce() {
    assertThat(problems("id,rated_ah,rest_1_v", "a,x,3.3", "b,9,y", "b,9,3.3").lines()).hasSize(3);
  }

  /** Any text gives units or mistakes within its own size, never an exception. */
  @Test
  void anyTextIsReadOrRefused() {
    String letters = "id,rest_1_v;\"\n#0123456789.-+:TZabcé\u0000\ufeff";
    for (int seed = 0; seed < 3000; seed++) {
      Random random = new Random(seed);
      List<String> lines = new ArrayList<>();
      lines.add(random.nextBoolean() ? "id,rest_1_v,rest_1_at,cap_1_ah,made,damage" : "id");
      for (int l = random.nextInt(5); l >= 0; l--) {
        StringBuilder line = new StringBuilder();
        for (int c = random.nextInt(40); c > 0; c--) {
          line.append(letters.charAt(random.nextInt(letters.length())));
        }
        lines.add(line.toString());
      }
      Problems problems = new Problems();
      int units = CellsFile.read("x.csv", lines, problems).size();
      assertThat(units).isLessThanOrEqualTo(lines.size());
    }
  }
}

package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.cellherd.app.ExitCode;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** From a cells file to a plan, as a builder would go. */
class PileVerbsTest {

  @TempDir private Path folder;
  private Path cells;

  @BeforeEach
  void pile() throws IOException {
    Random random = new Random(4);
    StringBuilder text =
        new StringBuilder(
            "id,donor,chemistry,rated_ah,parallel,rest_1_v,res_1_mohm,cap_1_ah,damage\n");
    for (int i = 1; i <= 18; i++) {
      text.append(
          String.format(
              Locale.ROOT,
              "%s%d,%s,lfp,9,2,3.30,%.2f,%.2f,%s%n",
              i < 10 ? "a" : "b",
              i,
              i < 10 ? "red" : "blue",
              3 + random.nextDouble(),
              8.5 + 0.3 * random.nextGaussian(),
              i == 7 ? "swollen" : ""));
    }
    cells = Files.writeString(folder.resolve("cells.csv"), text);
  }

  @Test
  void aPileBecomesAPlanThatCheckReads() {
    Path plan = folder.resolve("pack.toml");

    Said said =
        Said.by(
            "match",
            cells.toString(),
            "--series",
            "4",
            "--parallel",
            "4",
            "--load-a",
            "20",
            "--bleed-ma",
            "60",
            "--plan-out",
            plan.toString());

    assertThat(said.code()).as(said.err()).isZero();
    assertThat(said.out()).contains("The weakest group holds", "no arrangement is stronger");
    assertThat(said.out()).contains("spare: ").doesNotContain(" a7");
    PackPlan made = ConfigFiles.loadPlans(plan).packs().get(0).plan();
    assertThat(made.series()).isEqualTo(4);
    assertThat(made.parallel()).as("cells, two a unit").isEqualTo(8);
    assertThat(made.ratedAh()).isEqualTo(36);
    assertThat(made.cells()).hasSize(4).allSatisfy(g -> assertThat(g).hasSize(4));
    assertThat(Said.by("check", "--plan", plan.toString()).out()).contains("4S8P lfp");
  }

  @Test
  void whatEarlierWorkWroteIsKept() throws IOException {
    Path plan = Files.writeString(folder.resolve("pack.toml"), "mine");

    Said said =
        Said.by(
            "match",
            cells.toString(),
            "--series",
            "4",
            "--parallel",
            "4",
            "--plan-out",
            plan.toString());

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains("is there already and is kept");
    assertThat(Files.readString(plan)).isEqualTo("mine");
  }

  @Test
  void allThatStandsInTheWayIsToldAtOnceWithWhatWouldFit() {
    Said said =
        Said.by(
            "match",
            cells.toString(),
            "--series",
            "4",
            "--parallel",
            "5",
            "--together",
            "a1,a7",
            "--together",
            "b10,zz",
            "--apart",
            "a1,a7");

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err())
        .contains(
            "4S5P takes 20 units, 17 of 18 can be used: 3 short; it fits with 4 in parallel or 3 in series")
        .contains("unit \"a7\" is not used: do not use")
        .contains("there is no unit \"zz\"")
        .contains("a1, a7 are wanted together and apart");
  }

  @Test
  void mixedChemistriesAndStringsAreRefused() throws IOException {
    Files.writeString(
        cells,
        "id,chemistry,series,rest_1_v,cap_1_ah\na,lfp,1,3.3,9\nb,nmc,1,3.7,9\nc,lfp,4,13.2,9\n");

    Said said = Said.by("match", cells.toString(), "--series", "3", "--parallel", "1");

    assertThat(said.err())
        .contains("different chemistries (lfp, nmc)")
        .contains("the board must reach every cell");
  }

  @Test
  void triageNamesWhatToDoWithEachUnitAndWhatToMeasureNext() {
    Said said = Said.by("triage", cells.toString());

    assertThat(said.code()).isZero();
    assertThat(said.out())
        .startsWith("18 units: ")
        .contains("a7: It is marked as swollen.")
        .contains("Next, for ")
        .contains("Lithium cells store enough energy to burn");
    assertThat(Said.by("triage", cells.toString(), "--json").out())
        .contains("\"verdict\": \"do-not-use\"", "\"next\"");
  }

  /** A year that was mistyped: a fall of days would be spread over a year. */
  @Test
  void aVoltageOfTheFutureIsAMistake() throws IOException {
    Path later = folder.resolve("later.csv");
    Files.writeString(
        later,
        "id,chemistry,rest_1_v,rest_1_at,rest_2_v,rest_2_at\na1,lfp,3.3,2026-03-01,3.3,2999-03-15\n");

    for (String verb : List.of("triage", "match --series 1 --parallel 1")) {
      Said said = Said.by((verb + " " + later).split(" "));

      assertThat(said.code()).isEqualTo(2);
      assertThat(said.err()).contains("later.csv a1: was measured on 15 Mar 2999, later than now");
    }
  }

  @Test
  void helpNamesEveryColumnOfACellsFile() {
    String help = Said.by("triage", "--help").out();

    assertThat(List.of("rest_#_v", "res_#_mohm", "cap_#_ah", "damage", "donor"))
        .allSatisfy(column -> assertThat(help).contains(column));
  }
}

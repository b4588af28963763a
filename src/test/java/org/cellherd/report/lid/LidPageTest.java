package org.cellherd.report.lid;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.LongStream;
import org.cellherd.Tools;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.setpoint.DrawnPlan;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.Made;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.Shape.Letter;
import org.cellherd.report.scene.TextFit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class LidPageTest {

  @TempDir private Path folder;

  static List<Long> seeds() {
    return LongStream.range(0, 60).boxed().toList();
  }

  static List<Long> few() {
    return List.of(1L, 2L, 3L);
  }

  /** A pack of a seed, with units of long and short names and more history than a page holds. */
  static LidFacts drawn(long seed) {
    Random random = new Random(seed);
    PackPlan plan = DrawnPlan.of(seed);
    List<List<String>> groups = new ArrayList<>();
    int units = 1 + random.nextInt(12);
    for (int g = 0; g < plan.series() && random.nextInt(20) > 0; g++) {
      List<String> group = new ArrayList<>();
      for (int u = 0; u < units; u++) {
        group.add((random.nextInt(30) == 0 ? "donor-of-a-very-long-name-" : "a") + g + "." + u);
      }
      groups.add(group);
    }
    List<PackPlan.Change> changes = new ArrayList<>();
    for (int i = 0; i < random.nextInt(30); i++) {
      changes.add(new PackPlan.Change(i * 86_400_000L, "cell 5 replaced after it leaked, again"));
    }
    PackPlan told =
        plan.toBuilder().name("pack ".repeat(1 + random.nextInt(40))).history(changes).build();
    SetPoints points =
        SetPoints.of(
            told,
            1,
            p -> new SetPoints.Watch(new PlanAudit.Alarms(p.limits().warnHighMv(), 2800), 50));
    Made made = new Made(ZoneOffset.UTC, 0, "cellherd");
    return new LidFacts(points, groups, List.of(), curves(random), made);
  }

  /** A picture of a drawn height, with words at its foot. */
  private static Optional<Drawing> curves(Random random) {
    double height = 150 + random.nextInt(400);
    Shape foot = new Shape.Words(4, height - 2, "A  5.4 A", Letter.of(12, Ink.INK));
    return random.nextInt(3) == 0
        ? Optional.empty()
        : Optional.of(new Drawing(328, height, "curves", "", List.of(foot)));
  }

  @Test
  void curvesAreDrawnWhereThereIsRoomForThem() {
    long drawn =
        seeds().stream()
            .filter(
                seed ->
                    LidPage.scene(drawn(seed)).shapes().stream()
                        .anyMatch(s -> s instanceof Shape.Words w && w.text().equals("A  5.4 A")))
            .count();
    assertThat(drawn).isBetween(10L, 55L);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void everythingLiesOnThePageAndCanBeRead(long seed) {
    Drawing scene = LidPage.scene(drawn(seed));

    List<Shape.Words> all =
        scene.shapes().stream()
            .filter(Shape.Words.class::isInstance)
            .map(Shape.Words.class::cast)
            .toList();
    for (Shape.Words words : all) {
      double width = TextFit.width(words.text(), words.letter().size());
      double left =
          switch (words.letter().anchor()) {
            case START -> words.x();
            case MIDDLE -> words.x() - width / 2;
            case END -> words.x() - width;
          };
      assertThat(left).as(words.text()).isGreaterThan(0);
      assertThat(left + width).as(words.text()).isLessThan(scene.width());
      assertThat(words.y()).as(words.text()).isBetween(0.0, scene.height() - 40);
    }
    List<String> texts = all.stream().map(Shape.Words::text).toList();
    assertThat(texts).contains(Cautions.LIST.get(0), Cautions.LIST.get(4));
  }

  /** Lines of one column do not lie on each other: the cautions begin below everything else. */
  @ParameterizedTest
  @MethodSource("seeds")
  void nothingRunsIntoTheCautions(long seed) {
    Drawing scene = LidPage.scene(drawn(seed));

    boolean isCaution = false;
    double caution = 0;
    double above = 0;
    for (Shape shape : scene.shapes()) {
      if (shape instanceof Shape.Words words) {
        isCaution |= words.text().equals(Cautions.LIST.get(0));
        caution = isCaution && caution == 0 ? words.y() : caution;
        above = isCaution ? above : Math.max(above, words.y());
      }
    }
    assertThat(above).isLessThan(caution);
  }

  @ParameterizedTest
  @MethodSource("few")
  void anotherReaderCountsOnePageWithEveryNumber(long seed) throws Exception {
    LidFacts facts = drawn(seed);
    Path pdf = Files.write(folder.resolve("lid.pdf"), LidPage.pdf(facts));

    assertThat(said(Tools.require("pdfinfo"), pdf.toString()))
        .containsPattern("Pages: +1\\b")
        .contains("A4");
    String text = said(Tools.require("pdftotext"), "-layout", pdf.toString(), "-");
    for (SetPoints.Point point : facts.points().points()) {
      assertThat(text).contains(point.shown());
    }
    assertThat(LidPage.html(facts)).contains("<svg", "@page").doesNotContain("<script", "http:");
  }

  private String said(Path tool, String... words) throws Exception {
    List<String> command = new ArrayList<>(List.of(tool.toString()));
    command.addAll(List.of(words));
    Path out = folder.resolve("out");
    Process process =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(out.toFile()).start();
    assertThat(process.waitFor(20, TimeUnit.SECONDS)).isTrue();
    return Files.readString(out, StandardCharsets.UTF_8);
  }
}

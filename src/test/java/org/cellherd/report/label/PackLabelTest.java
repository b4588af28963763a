package org.cellherd.report.label;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.google.zxing.BinaryBitmap;
import com.google.zxing.DecodeHintType;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.Result;
import com.google.zxing.ResultMetadataType;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.qrcode.QRCodeReader;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import javax.imageio.ImageIO;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripper;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.Made;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.TextFit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class PackLabelTest {

  private static final Path LOOK_AT = Path.of("target", "report-pictures");
  private static final Made MADE = new Made(ZoneId.of("UTC"), 1_772_557_200_000L, "cellherd 0.1.0");
  private static final PackPlan PLAN =
      PackPlan.builder("crate", Chemistry.LFP, 4, 6, 27_000)
          .name("Field radio crate \u00d8 2")
          .chargerMa(10_000)
          .loadMa(30_000)
          .board(
              new PackPlan.BoardRating(
                  "4S, our own",
                  OptionalInt.of(60_000),
                  OptionalInt.empty(),
                  OptionalInt.empty(),
                  OptionalInt.empty(),
                  OptionalInt.empty(),
                  OptionalInt.empty()))
          .fuse(new PackPlan.FuseRating(40_000, OptionalInt.empty(), OptionalInt.empty()))
          .note("Cells from a bus, sorted in 2025; strap 3 replaced.")
          .build();

  private static Finding capacity() {
    return ResultForm.finding(
        FindingName.CAPACITY,
        1_772_500_000_000L,
        1_772_540_000_000L,
        Facts.of()
            .put("ah", 22.5, 1)
            .put("rated_pct", 83.3, 1)
            .put("mean_current_a", -5.4, 1)
            .build(),
        "22.5 Ah");
  }

  private static LabelFacts tested() {
    return LabelFacts.of(PLAN, List.of(capacity()), MADE);
  }

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void everyFactIsWholeOnEverySizeAlsoWithoutANote(PackLabel.Size size) {
    Facts slow =
        Facts.of()
            .put("ah", 121.4, 1)
            .put("rated_pct", 79.3, 1)
            .put("mean_current_a", -113.5, 1)
            .build();
    Finding test =
        ResultForm.finding(FindingName.CAPACITY, 0, 1_772_540_000_000L, slow, "121.4 Ah");
    PackPlan bare = PLAN.toBuilder().note("").build();
    LabelFacts facts = LabelFacts.of(bare, List.of(test), MADE);

    assertThat(PackLabel.scene(facts, size).shapes())
        .filteredOn(Shape.Words.class::isInstance)
        .extracting(shape -> ((Shape.Words) shape).text())
        .containsAll(facts.lines().stream().map(LabelFacts.Line::value).toList());
  }

  /** A pack with a long name and a long note. */
  static LabelFacts wordy() {
    PackPlan plan =
        PLAN.toBuilder()
            .name("Field radio crate of the north hut, second edition")
            .note(
                "Sorted by capacity in 2025; strap 3 replaced in June. Ask Anna. "
                    + "Key. ".repeat(20))
            .build();
    return LabelFacts.of(plan, List.of(capacity()), MADE);
  }

  static String decode(BufferedImage image) throws Exception {
    return read(image).getText();
  }

  private static Result read(BufferedImage image) throws Exception {
    int[] pixels =
        image.getRGB(0, 0, image.getWidth(), image.getHeight(), null, 0, image.getWidth());
    RGBLuminanceSource source = new RGBLuminanceSource(image.getWidth(), image.getHeight(), pixels);
    return new QRCodeReader()
        .decode(
            new BinaryBitmap(new HybridBinarizer(source)), Map.of(DecodeHintType.TRY_HARDER, true));
  }

  /** Else a reader that guesses takes the degree sign for a letter of another script. */
  @Test
  void codeNamesTheSetOfItsLetters() throws Exception {
    BufferedImage image =
        ImageIO.read(new ByteArrayInputStream(PackLabel.png(tested(), PackLabel.Size.A7)));

    assertThat(read(image).getResultMetadata())
        .containsEntry(ResultMetadataType.SYMBOLOGY_IDENTIFIER, "]Q2");
  }

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void codeInThePictureAt300DpiHoldsTheSameFacts(PackLabel.Size size) throws Exception {
    byte[] png = PackLabel.png(tested(), size);
    Files.createDirectories(LOOK_AT);
    Files.write(LOOK_AT.resolve("label-" + size.word() + ".png"), png);
    BufferedImage image = ImageIO.read(new ByteArrayInputStream(png));

    assertThat(image.getWidth()).isEqualTo((int) Math.ceil(size.widthMm() / 25.4 * 300));
    assertThat(decode(image)).isEqualTo(tested().plainText());
  }

  /** Of any length of note: whole, or shortened and said to be so, with every fact before it. */
  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void aCodeOfAnyLengthIsReadWholeOrSaysThatItIsShortened(PackLabel.Size size) throws Exception {
    for (int letters = 0; letters <= 320; letters += 10) {
      aCodeIsWholeOrSaysThatItIsShortened(letters, size);
    }
  }

  private static void aCodeIsWholeOrSaysThatItIsShortened(int letters, PackLabel.Size size)
      throws Exception {
    LabelFacts facts =
        LabelFacts.of(
            PLAN.toBuilder().note("\u00d8".repeat(letters)).build(), List.of(capacity()), MADE);

    String read = decode(ImageIO.read(new ByteArrayInputStream(PackLabel.png(facts, size))));

    if (!read.equals(facts.plainText())) {
      assertThat(read).endsWith("\u00d8 \u2026 (shortened)").contains(Cautions.SHORT + "\nNote: ");
      assertThat(read.getBytes(StandardCharsets.UTF_8)).hasSizeBetween(590, 600);
    }
    assertThat(read.endsWith("(shortened)"))
        .isEqualTo(facts.plainText().getBytes(StandardCharsets.UTF_8).length > 600);
  }

  /** A result with its bounds is no smaller than what stands below it. */
  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void rowsAreOfOneSize(PackLabel.Size size) {
    Facts wide =
        Facts.of()
            .put("ah", 21.7, 1)
            .put("ah_low", 20.9, 1)
            .put("ah_high", 22.6, 1)
            .put("wh", 285, 0)
            .put("mean_current_a", -5.4, 1)
            .put("mean_temp_c", 25, 0)
            .build();
    Finding test = ResultForm.finding(FindingName.CAPACITY, 0, 1_772_540_000_000L, wide, "21.7 Ah");
    PackPlan plan =
        PackPlan.builder("crate", Chemistry.LFP, 4, 6, 27_000)
            .name("Crate")
            .chargerMa(6_000)
            .build();
    LabelFacts facts = LabelFacts.of(plan, List.of(test), MADE);
    List<Shape.Words> words =
        PackLabel.scene(facts, size).shapes().stream()
            .filter(Shape.Words.class::isInstance)
            .map(Shape.Words.class::cast)
            .toList();

    assertThat(facts.lines().get(0).value()).contains("21.7 Ah (20.9 to 22.6)");
    assertThat(
            facts.lines().stream()
                .flatMap(l -> words.stream().filter(w -> w.text().equals(l.value())))
                .mapToDouble(w -> w.letter().size())
                .distinct())
        .hasSize(1);
  }

  /** No name runs into its value. */
  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void namesAndValuesAreApart(PackLabel.Size size) {
    List<Shape.Words> words =
        PackLabel.scene(tested(), size).shapes().stream()
            .filter(Shape.Words.class::isInstance)
            .map(Shape.Words.class::cast)
            .toList();
    for (LabelFacts.Line line : tested().lines()) {
      Shape.Words name =
          words.stream().filter(w -> w.text().equals(line.name())).findFirst().orElseThrow();
      double end = name.x() + TextFit.width(name.text(), name.letter().size());
      assertThat(words)
          .filteredOn(w -> w.y() == name.y() && w.x() > name.x())
          .as(line.name())
          .allSatisfy(
              value -> assertThat(value.x()).isGreaterThan(end + name.letter().size() * 0.35));
    }
  }

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void pdfHasTheLabelsSizeItsWordsAndItsCode(PackLabel.Size size) throws Exception {
    byte[] pdf = PackLabel.pdf(tested(), size);
    Files.createDirectories(LOOK_AT);
    Files.write(LOOK_AT.resolve("label-" + size.word() + ".pdf"), pdf);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(document.getPage(0).getMediaBox().getWidth() / 72 * 25.4f)
          .isCloseTo((float) size.widthMm(), within(0.1f));
      assertThat(new PDFTextStripper().getText(document))
          .contains("Field radio crate \u00d8 2", "22.5 Ah", "At 5.4 A", "3 Mar 2026", "LFP 4S6P");
      assertThat(decode(new PDFRenderer(document).renderImageWithDPI(0, 300)))
          .isEqualTo(tested().plainText());
    }
  }

  @Test
  void textFactsOfARegroupedPackAreThoseOfTheTrade() {
    // Common practice, no source: 24 cells of 4.5 Ah as 4S6P are 12.8 V and 27 Ah; 22.5 is 83 %.
    assertThat(tested().plainText())
        .contains("Pack: LFP 4S6P, 24 cells", "Rated: 27 Ah, 12.8 V nominal")
        .contains(
            "Charge: to 14.6 V, charger 10 A",
            "Cell limits: 2.50 to 3.65 V",
            "No charge: below 0 \u00b0C")
        .contains("Board: 4S, our own, 60 A", "Fuse: 40 A", "Load: 30 A at most")
        .contains("Note: Cells from a bus", "Lithium cells can burn");
  }

  /**
   * The newest test is not taken when it was cold; two rates are told, each with its conditions.
   */
  @Test
  void aLabelTellsTheNewestWarmTestOfEachRate() {
    List<Finding> tests =
        List.of(test(1, 22.5, 5.4, 21), test(2, 21.8, 13.5, 23), test(3, 19.1, 5.5, 4));

    assertThat(LabelFacts.of(PLAN, tests, MADE).plainText())
        .contains("Capacity: 22.5 Ah\n", "At 5.4 A: 22.5 Ah, 21 \u00b0C\n")
        .contains("At 13.5 A: 21.8 Ah, 23 \u00b0C\n")
        .doesNotContain("19.1");
    assertThat(LabelFacts.of(PLAN, tests.subList(2, 3), MADE).plainText())
        .contains("At 5.5 A: 19.1 Ah, 4 \u00b0C, cold\n");
  }

  /** Who reads the large figure alone must not take it for a plain one. */
  @Test
  void theLargestFigureSaysWhatItIsWorth() {
    assertThat(figure(test(1, 18.9, 5.4, 4))).isEqualTo("18.9 Ah, cold");
    assertThat(figure(test(1, 21.7, 5.4, 25))).isEqualTo("21.7 Ah");
    assertThat(figure(bounded(21.7, 2.4, 0.1))).isEqualTo("21.7 Ah (19.3 to 24.1)");
    assertThat(figure(bounded(21.7, 2.4, 1.4))).isEqualTo("21.7 Ah, offset suspected");
    assertThat(figure(bounded(21.7, 0.2, 0.1))).isEqualTo("21.7 Ah");
  }

  private static String figure(Finding test) {
    return LabelFacts.of(PLAN, List.of(test), MADE).capacity();
  }

  private static Finding bounded(double ah, double half, double offsetAh) {
    Facts told =
        Facts.of()
            .put("ah", ah, 1)
            .put("ah_low", ah - half, 1)
            .put("ah_high", ah + half, 1)
            .put("mean_current_a", -5.4, 1)
            .put("mean_temp_c", 25, 1)
            .put("offset_ah_low", -offsetAh, 1)
            .put("offset_ah_high", offsetAh, 1)
            .build();
    return ResultForm.finding(FindingName.CAPACITY, 0, 3_600_000, told, ah + " Ah");
  }

  private static Finding test(int day, double ah, double amps, double warm) {
    Facts told =
        Facts.of()
            .put("ah", ah, 1)
            .put("mean_current_a", -amps, 1)
            .put("mean_temp_c", warm, 1)
            .build();
    long endMs = 1_772_000_000_000L + day * 86_400_000L;
    return ResultForm.finding(FindingName.CAPACITY, endMs - 3_600_000, endMs, told, ah + " Ah");
  }

  @Test
  void untestedPackSaysSo() {
    LabelFacts facts = LabelFacts.of(PLAN, List.of(), MADE);

    assertThat(facts.plainText()).contains("Capacity: untested");
    assertThat(PackLabel.svg(facts, PackLabel.Size.S99X57))
        .as("not the pack: it may just have been balanced")
        .contains(">Capacity untested<");
  }

  @Test
  void longAndHostileTextIsCutAndEscaped() {
    PackPlan plan =
        PLAN.toBuilder()
            .name("<b>" + "x".repeat(300) + "\u0007\u6f22")
            .note("word ".repeat(500))
            .build();
    LabelFacts facts = LabelFacts.of(plan, List.of(), MADE);

    assertThat(PackLabel.svg(facts, PackLabel.Size.S70X37)).contains("&lt;b&gt;xx", "\u2026");
    assertThat(PackLabel.pdf(facts, PackLabel.Size.S70X37)).isNotEmpty();
  }

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void noTextReachesTheCodeOrBecomesTooSmallToRead(PackLabel.Size size) {
    PackPlan plan =
        PackPlan.builder("crate", Chemistry.LFP, 32, 12, 1_230_000)
            .name(
                "\u0414\u043e\u043d\u0430\u0443" + "fahrtsgesellschaft".repeat(4) + " of the barn")
            .note("n".repeat(200))
            .board(
                new PackPlan.BoardRating(
                    "an invented board with a long name, second revision, for 32 cells",
                    OptionalInt.of(200_000),
                    OptionalInt.empty(),
                    OptionalInt.empty(),
                    OptionalInt.empty(),
                    OptionalInt.empty(),
                    OptionalInt.empty()))
            .build();
    LabelFacts facts = LabelFacts.of(plan, List.of(capacity()), MADE);
    List<Shape> shapes = PackLabel.scene(facts, size).shapes();
    double codeX =
        shapes.stream()
            .filter(Shape.Box.class::isInstance)
            .mapToDouble(shape -> ((Shape.Box) shape).x())
            .min()
            .orElse(size.widthMm() * 10.0);

    assertThat(shapes)
        .filteredOn(Shape.Words.class::isInstance)
        .map(shape -> (Shape.Words) shape)
        .allSatisfy(
            words -> {
              boolean isCaution = Cautions.SHORT.contains(words.text());
              double room = isCaution ? size.widthMm() * 10.0 : codeX;
              double size10 = words.letter().size();
              assertThat(words.x() + TextFit.width(words.text(), size10))
                  .as(words.text())
                  .isLessThanOrEqualTo(room);
              assertThat(size10).as(words.text()).isGreaterThanOrEqualTo(11);
            });
  }
}

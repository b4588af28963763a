package org.cellherd.report.lid;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.pack.Cautions;
import org.cellherd.report.HtmlPage;
import org.cellherd.report.lid.ArrangementPicture.Place;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.PdfWriter;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Placed;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.Shape.Anchor;
import org.cellherd.report.scene.Shape.Letter;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.TextFit;
import org.cellherd.report.scene.Theme;

/** The page for the lid: A4 upright, one page whatever the pack, black on white. */
public final class LidPage {

  private static final double WIDTH = 2100;
  private static final double HEIGHT = 2970;
  private static final double MARGIN = 100;
  private static final double ROOM = WIDTH - 2 * MARGIN;

  /** Heights of the parts, tenths of a mm. */
  private static final double ROW = 62;

  private static final double PICTURE = 560;
  private static final double CAUTION = 210;
  private static final double WORDS_ABOVE = 160;
  private static final double TITLE = 52;
  private static final double HEAD = 34;
  private static final double VALUE = 31;
  private static final double SMALL = 21.5;

  private static final double DOTS_PER_TENTH_AT_150_DPI = 150 / 254.0;

  private final LidFacts facts;
  private final List<Shape> shapes = new ArrayList<>();

  private LidPage(LidFacts facts) {
    this.facts = facts;
  }

  /** A PDF of one page. */
  public static byte[] pdf(LidFacts facts) {
    return PdfWriter.bytes(scene(facts));
  }

  /** A picture at 150 dpi. */
  public static byte[] png(LidFacts facts) {
    return PngWriter.bytes(scene(facts), Theme.LIGHT, DOTS_PER_TENTH_AT_150_DPI);
  }

  /** SVG that prints at its size. */
  public static String svg(LidFacts facts) {
    return SvgWriter.inMillimetres(scene(facts));
  }

  /** One HTML file, without script, that prints on one page. */
  public static String html(LidFacts facts) {
    return HtmlPage.of(
        facts.title() + ": set-points",
        "<style>@page{size:A4;margin:8mm}@media print{main{padding:0}svg{max-height:280mm}}"
            + "</style><main>"
            + SvgWriter.inline(scene(facts), "lid")
            + "</main>");
  }

  /** The drawing, in tenths of a mm. */
  public static Drawing scene(LidFacts facts) {
    return new LidPage(facts).draw();
  }

  private Drawing draw() {
    double y = title();
    y = points(y);
    y = picture(y);
    y = rests(y);
    double bottom = HEIGHT - MARGIN - CAUTION;
    details(y, bottom - y);
    cautions(bottom);
    return new Drawing(WIDTH, HEIGHT, facts.title() + ": set-points", plainText(), shapes);
  }

  private double title() {
    double y = MARGIN + TITLE * 0.8;
    double size = TextFit.sizeFor(facts.title(), TITLE, TITLE * 0.5, ROOM);
    words(MARGIN, y, TextFit.cut(facts.title(), size, ROOM), size, true);
    y += HEAD * 1.4;
    String made = "Set-points of " + facts.made().day(facts.made().atMs());
    double room = ROOM - TextFit.width(made, VALUE) - 20;
    words(MARGIN, y, TextFit.cut(facts.build(), VALUE, room), VALUE, false);
    shapes.add(new Shape.Words(WIDTH - MARGIN, y, made, Letter.of(VALUE, Ink.INK).at(Anchor.END)));
    return y + 22;
  }

  /** One row a number; a release stands beside its trip. */
  private double points(double from) {
    double y = from;
    for (Map.Entry<SetPoints.Point, String> row : rows().entrySet()) {
      rule(y, Ink.GRID);
      row(y, row.getKey(), row.getValue());
      y += ROW;
    }
    rule(y, Ink.GRID);
    return y + 14;
  }

  private Map<SetPoints.Point, String> rows() {
    Map<SetPoints.Point, String> rows = new LinkedHashMap<>();
    SetPoints.Point trip = facts.points().points().get(0);
    for (SetPoints.Point point : facts.points().points()) {
      if (point.key().contains("release")) {
        rows.put(trip, trip.shown() + ", again " + point.shown());
      } else {
        rows.put(point, point.shown());
        trip = point;
      }
    }
    return rows;
  }

  private void row(double y, SetPoints.Point point, String value) {
    double base = y + ROW * 0.62;
    words(MARGIN, y + SMALL * 1.05, point.place().title(), SMALL, false);
    words(
        MARGIN, y + SMALL * 1.05 + VALUE, cut(point.name(), VALUE * 0.9, 400), VALUE * 0.9, false);
    double size = TextFit.sizeFor(value, VALUE, VALUE * 0.6, 420);
    words(MARGIN + 420, base, TextFit.cut(value, size, 420), size, true);
    double left = MARGIN + 860;
    double room = ROOM - 860;
    List<String> reason =
        TextFit.wrap(point.reason() + " [" + point.source() + "]", SMALL, room, 2);
    double first = y + (reason.size() == 1 ? ROW * 0.6 : SMALL * 1.15);
    for (int i = 0; i < reason.size(); i++) {
      words(left, first + i * SMALL * 1.2, reason.get(i), SMALL, false);
    }
  }

  private double picture(double from) {
    if (facts.groups().isEmpty()) {
      words(
          MARGIN,
          from + VALUE,
          "The plan does not say which units are in which cell (cells = [[...]]).",
          SMALL * 1.1,
          false);
      return from + HEAD * 1.6;
    }
    int units = facts.groups().stream().mapToInt(List::size).max().orElse(1);
    int rows = ArrangementPicture.rows(facts.groups().size());
    double height = Math.min(PICTURE, (units + 3) * rows * 90.0);
    shapes.addAll(ArrangementPicture.in(new Place(MARGIN, from, ROOM, height), facts.groups()));
    words(MARGIN, from + height + SMALL, ArrangementPicture.LEGEND, SMALL, false);
    return from + height + SMALL * 1.6;
  }

  private double rests(double from) {
    List<SetPoints.RestRow> rows = facts.points().rests();
    double y = from + SMALL * 1.2;
    words(
        MARGIN,
        y,
        cut(
            "A cell's voltage after hours at rest at 25 \u00b0C, and the charge it may mean ("
                + facts.plan().chemistry().sheet().openCircuit().source()
                + "):",
            SMALL,
            ROOM),
        SMALL,
        false);
    double step = ROOM / rows.size();
    for (int i = 0; i < rows.size(); i++) {
      SetPoints.RestRow row = rows.get(i);
      double x = MARGIN + i * step;
      words(x, y + VALUE, row.volts(), SMALL * 1.15, true);
      words(x, y + VALUE + SMALL * 1.3, row.charge(), SMALL * 1.1, false);
    }
    return y + VALUE + SMALL * 2.2;
  }

  private void details(double from, double room) {
    double width = ROOM / 3 - 30;
    new Column(shapes, new Place(MARGIN, from, width, room))
        .heading("Fuse, wire, board", HEAD * 0.85)
        .paragraphs(facts.parts(), SMALL * 1.1, 2);
    double below = curves(new Place(MARGIN + ROOM / 3, from, width, room));
    new Column(shapes, new Place(MARGIN + ROOM / 3, from, width, room - below))
        .heading("Tests and history", HEAD * 0.85)
        .paragraphs(joined(facts.testLines(), facts.history()), SMALL * 1.1, 2);
    new Column(shapes, new Place(MARGIN + 2 * ROOM / 3, from, width, room))
        .heading("Margins", HEAD * 0.85)
        .paragraphs(facts.doubts(), SMALL * 1.1, 4);
  }

  /**
   * The tests' curves at the bottom of their column, where words have room enough above.
   *
   * @return the height that they take
   */
  private double curves(Place column) {
    Optional<Drawing> drawn =
        facts.curves().filter(c -> column.height() - height(c, column) >= WORDS_ABOVE);
    drawn.ifPresent(
        c -> {
          double y = column.y() + column.height() - height(c, column);
          shapes.addAll(new Placed(column.x(), y, column.width() / c.width()).shapes(c));
        });
    return drawn.map(c -> height(c, column)).orElse(0.0);
  }

  private static double height(Drawing scene, Place column) {
    return scene.height() * column.width() / scene.width();
  }

  private static List<String> joined(List<String> first, List<String> second) {
    List<String> all = new ArrayList<>(first);
    all.addAll(second);
    return all;
  }

  private void cautions(double from) {
    rule(from, Ink.INK);
    List<String> all = new ArrayList<>(Cautions.LIST);
    all.add("A proposal by " + facts.made().program() + "; the cell maker's sheet rules.");
    new Column(shapes, new Place(MARGIN, from + 10, ROOM, CAUTION - 10))
        .paragraphs(all, SMALL * 1.12, 2);
  }

  private void rule(double y, Ink ink) {
    shapes.add(new Shape.Path(Points.line(MARGIN, y, WIDTH - MARGIN, y), Pen.of(ink, 2)));
  }

  private static String cut(String text, double size, double room) {
    return TextFit.cut(text, size, room);
  }

  private void words(double x, double y, String text, double size, boolean bold) {
    Letter letter = Letter.of(size, Ink.INK);
    shapes.add(new Shape.Words(x, y, text, bold ? letter.strong() : letter));
  }

  private String plainText() {
    StringBuilder text = new StringBuilder(facts.build());
    rows()
        .forEach(
            (point, value) ->
                text.append("\n" + point.place().title() + ", " + point.name() + ": " + value));
    text.append('\n').append(ArrangementPicture.description(facts.groups()));
    Cautions.LIST.forEach(c -> text.append('\n').append(c));
    return text.toString();
  }
}

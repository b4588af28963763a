package org.cellherd.page;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.IntToDoubleFunction;
import java.util.function.ToDoubleFunction;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.LimitLine;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;

/**
 * A stretch of the log as JSON for the plots: columns of whole numbers in the units that stand in
 * their names, null where nothing was heard.
 */
final class PastJson {

  private static final double TENTHS_PER_V = 10_000;
  private static final double MA_PER_A = 1_000;
  private static final double TENTHS = 10;
  private static final double MS_PER_S = 1_000;

  private final PagePack pack;
  private final PackPlan plan;
  private final ZoneId zone;
  private final PackHistory.Stretch stretch;
  private final Tracks tracks;
  private final StringBuilder out = new StringBuilder(65_536);

  private PastJson(PagePack pack, PackHistory.Stretch stretch, ZoneId zone) {
    this.pack = pack;
    this.plan = pack.plan();
    this.zone = zone;
    this.stretch = stretch;
    this.tracks = stretch.tracks();
  }

  /** The JSON of a pack's stretch. */
  public static String of(PagePack pack, PackHistory.Stretch stretch, ZoneId zone) {
    return new PastJson(pack, stretch, zone).text();
  }

  private String text() {
    out.append("{\"from_s\":").append(tracks.fromMs() / 1000).append(",\"to_s\":");
    out.append(tracks.toMs() / 1000);
    stretch.beganMs().ifPresent(ms -> out.append(",\"began_s\":").append(ms / 1000));
    out.append(",\"told\":").append(JsonText.quoted(stretch.told()));
    out.append(",\"at_s\":");
    double columnS = (tracks.toMs() - tracks.fromMs()) / MS_PER_S / tracks.columns();
    numbers(c -> tracks.fromMs() / MS_PER_S + (c + 0.5) * columnS);
    several("away_tenth_mv", Channel.Kind.CELL, TENTHS, true);
    several("cell_tenth_mv", Channel.Kind.CELL, TENTHS_PER_V, false);
    several("temp_tenth_c", Channel.Kind.TEMPERATURE, TENTHS, false);
    extremes("cell", "tenth_mv", Channel.Kind.CELL, TENTHS_PER_V);
    extremes("temp", "tenth_c", Channel.Kind.TEMPERATURE, TENTHS);
    single("current_ma", Channel.Kind.CURRENT, MA_PER_A);
    single("soc_tenth_pct", Channel.Kind.SOC, TENTHS);
    out.append(",\"band_mv\":").append(Math.round(pack.band().spreadMv()));
    out.append(",\"band\":").append(JsonText.quoted(pack.band().words()));
    out.append(",\"zone\":").append(JsonText.quoted(zone.getId()));
    out.append(",\"sensor_names\":").append(JsonText.of(sensors()));
    list("limits", limits());
    list("gaps", gaps());
    list("alerts", alerts());
    list("remarks", remarks());
    return out.append('}').toString();
  }

  private void several(String name, Channel.Kind kind, double scale, boolean away) {
    out.append(",\"").append(name).append("\":[");
    int count = tracks.count(kind);
    for (int number = 1; number <= count; number++) {
      Optional<Track> track =
          away ? tracks.deviation(number) : tracks.of(new Channel(kind, number));
      out.append(number == 1 ? "" : ",");
      numbers(means(track, scale));
    }
    out.append(']');
  }

  /** Of single readings, not of means: of each channel over all, and of all over each column. */
  private void extremes(String what, String unit, Channel.Kind kind, double scale) {
    List<Track> all = new ArrayList<>();
    for (int number = 1; number <= tracks.count(kind); number++) {
      all.add(tracks.of(new Channel(kind, number)).orElseGet(() -> new Track(tracks.columns())));
    }
    out.append(",\"" + what + "_low_" + unit + "\":" + each(all, Track::lowest, scale));
    out.append(",\"" + what + "_high_" + unit + "\":" + each(all, Track::highest, scale));
    out.append(",\"" + what + "_band_" + unit + "\":[");
    numbers(c -> present(all, c).mapToDouble(t -> t.low(c)).min().orElse(Double.NaN) * scale);
    out.append(',');
    numbers(c -> present(all, c).mapToDouble(t -> t.high(c)).max().orElse(Double.NaN) * scale);
    out.append(']');
  }

  private static Stream<Track> present(List<Track> all, int column) {
    return all.stream().filter(track -> track.has(column));
  }

  private static String each(List<Track> all, ToDoubleFunction<Track> of, double scale) {
    return all.stream()
        .map(track -> track.last() < 0 ? "null" : "" + Math.round(of.applyAsDouble(track) * scale))
        .collect(Collectors.joining(",", "[", "]"));
  }

  /** Mean, lowest and highest, so that no peak is lost. */
  private void single(String name, Channel.Kind kind, double scale) {
    Optional<Track> track = tracks.of(Channel.of(kind));
    if (track.isEmpty()) {
      return;
    }
    out.append(",\"").append(name).append("\":[");
    numbers(means(track, scale));
    out.append(',');
    numbers(c -> track.get().has(c) ? track.get().low(c) * scale : Double.NaN);
    out.append(',');
    numbers(c -> track.get().has(c) ? track.get().high(c) * scale : Double.NaN);
    out.append(']');
  }

  private static IntToDoubleFunction means(Optional<Track> track, double scale) {
    return c -> track.isPresent() && track.get().has(c) ? track.get().mean(c) * scale : Double.NaN;
  }

  private void numbers(IntToDoubleFunction value) {
    out.append('[');
    for (int column = 0; column < tracks.columns(); column++) {
      double number = value.applyAsDouble(column);
      out.append(column == 0 ? "" : ",");
      if (Double.isNaN(number)) {
        out.append("null");
      } else {
        out.append(Math.round(number));
      }
    }
    out.append(']');
  }

  private void list(String name, List<Facts> facts) {
    out.append(",\"").append(name).append("\":").append(JsonText.of(facts));
  }

  private List<String> sensors() {
    int count = tracks.count(Channel.Kind.TEMPERATURE);
    return IntStream.rangeClosed(1, count).mapToObj(n -> plan.sensorName(n, count)).toList();
  }

  private List<Facts> limits() {
    List<Facts> list = new ArrayList<>();
    for (LimitLine limit : LimitLine.of(plan)) {
      boolean isCell = limit.kind() == Channel.Kind.CELL;
      list.add(
          Facts.of()
              .put("of", isCell ? "cell" : "temp")
              .put("value", limit.value(), 3)
              .put("name", limit.words())
              .build());
    }
    return list;
  }

  private List<Facts> gaps() {
    List<Facts> list = new ArrayList<>();
    for (Gap gap : stretch.gaps()) {
      list.add(
          Facts.of()
              .put("from_s", gap.fromMs() / 1000)
              .put("to_s", gap.toMs() / 1000)
              .put("cause", gap.cause().word())
              .build());
    }
    return list;
  }

  private List<Facts> alerts() {
    List<Facts> list = new ArrayList<>();
    for (AlertSpan span : stretch.alerts()) {
      Facts.Builder b = Facts.of().put("from_s", span.fromMs() / 1000);
      span.toMs().ifPresent(ms -> b.put("to_s", ms / 1000));
      list.add(
          b.put("priority", span.worst().word())
              .put("text", span.text(zone))
              .put("first_step", span.alert().firstStep())
              .put("by", span.acknowledgedBy())
              .build());
    }
    return list;
  }

  private List<Facts> remarks() {
    List<Facts> list = new ArrayList<>();
    for (Remark remark : stretch.remarks()) {
      list.add(
          Facts.of()
              .put("at_s", remark.atMs() / 1000)
              .put("by", remark.by())
              .put("text", remark.text())
              .build());
    }
    return list;
  }
}

package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** One kind of quantity over time: means as lines, single extremes as a shade, limits across. */
final class LinePlot {

  /** A limit so near the values is drawn into the picture. */
  private static final double CELL_REACH_V = 0.12;

  private static final double TEMPERATURE_REACH_C = 6;

  /** In parts of what the current spans. */
  private static final double CURRENT_REACH = 0.5;

  private static final double SHADE = 0.16;

  private final PlotInput input;
  private final Plots.Size size;
  private final Channel.Kind kind;
  private final StandOut herd;
  private final List<Channel> channels = new ArrayList<>();
  private final List<Track> tracks = new ArrayList<>();

  LinePlot(PlotInput input, Plots.Size size, Channel.Kind kind) {
    this.input = input;
    this.size = size;
    this.kind = kind;
    this.herd = new StandOut(input.tracks(), input.balanced());
    int count = kind.isNumbered() ? input.tracks().count(kind) : 1;
    for (int number = 1; number <= count; number++) {
      Channel channel = kind.isNumbered() ? new Channel(kind, number) : Channel.of(kind);
      input
          .tracks()
          .of(channel)
          .ifPresent(
              track -> {
                channels.add(channel);
                tracks.add(track);
              });
    }
  }

  Optional<Drawing> scene() {
    if (tracks.isEmpty()) {
      return Optional.empty();
    }
    ValueAxis value = axis();
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.grid(unit());
    shades(frame, value);
    if (kind == Channel.Kind.CURRENT) {
      frame.across(0, Pen.of(Ink.SOFT, 1));
    }
    lines(frame, value);
    frame.limits(kind);
    return Optional.of(frame.drawing(title(), description()));
  }

  /** Few lines have a shade each; of many there is one, from the lowest of all to the highest. */
  private void shades(PlotFrame frame, ValueAxis value) {
    if (tracks.size() > Trend.FEW) {
      shade(frame, value, ofAll(), Ink.SOFT);
    } else {
      for (int i = 0; i < tracks.size(); i++) {
        shade(frame, value, tracks.get(i), pen(i).ink());
      }
    }
  }

  private static void shade(PlotFrame frame, ValueAxis value, Track track, Ink ink) {
    for (Points outline : TrackLines.envelopes(track, frame.time(), value)) {
      frame.add(new Shape.Area(outline, ink, SHADE));
    }
  }

  private Track ofAll() {
    Track all = new Track(input.tracks().columns());
    for (Track track : tracks) {
      for (int column = 0; column < track.columns(); column++) {
        if (track.has(column)) {
          all.add(column, track.low(column), track.mean(column), track.high(column), 1);
        }
      }
    }
    return all;
  }

  /** The number of a track from 1. */
  private int number(int index) {
    return Math.max(1, channels.get(index).number());
  }

  private void lines(PlotFrame frame, ValueAxis value) {
    LineNames names = new LineNames(size);
    for (int i = 0; i < tracks.size(); i++) {
      Track track = tracks.get(i);
      Pen pen = pen(i);
      frame.add(new Shape.Path(TrackLines.mean(track, frame.time(), value), pen));
      if (track.last() >= 0 && isNamed(i)) {
        double last = track.mean(track.last());
        String name = kind.isNumbered() ? name(channels.get(i)) : "";
        names.add(value.y(last), name, number(last), pen);
      }
    }
    names.shapes().forEach(frame::add);
  }

  /** A sensor by what it touches; a phone has room for its number only. */
  private String name(Channel channel) {
    boolean isSensor = kind == Channel.Kind.TEMPERATURE && !size.narrow();
    return isSensor && channel.number() <= input.sensors().size()
        ? input.sensors().get(channel.number() - 1)
        : Integer.toString(channel.number());
  }

  private boolean isNamed(int index) {
    return kind != Channel.Kind.CELL || herd.isNamed(number(index));
  }

  private Pen pen(int index) {
    return kind == Channel.Kind.CELL ? herd.pen(number(index), 1.4) : Pen.line(number(index), 1.4);
  }

  private ValueAxis axis() {
    double low = tracks.stream().mapToDouble(Track::lowest).min().orElse(0);
    double high = tracks.stream().mapToDouble(Track::highest).max().orElse(0);
    if (kind == Channel.Kind.CURRENT) {
      low = Math.min(low, 0);
      high = Math.max(high, 0);
    }
    double reach = reach(low, high);
    double low0 = low;
    double high0 = high;
    for (LimitLine limit : input.limits()) {
      if (limit.kind() == kind && limit.value() > low0 - reach && limit.value() < high0 + reach) {
        low = Math.min(low, limit.value());
        high = Math.max(high, limit.value());
      }
    }
    double least = kind == Channel.Kind.CELL ? 0.02 : kind == Channel.Kind.TEMPERATURE ? 4 : 1;
    double room = Math.max(0, least - (high - low)) / 2;
    return ValueAxis.even(low - room, high + room, Plots.Size.TOP, size.plotHeight());
  }

  private double reach(double low, double high) {
    return switch (kind) {
      case CELL -> CELL_REACH_V;
      case CURRENT -> CURRENT_REACH * (high - low);
      default -> TEMPERATURE_REACH_C;
    };
  }

  private String unit() {
    return switch (kind) {
      case CELL, PACK_VOLTAGE -> "V";
      case CURRENT -> "A";
      case TEMPERATURE -> "\u00b0C";
      default -> "";
    };
  }

  private String title() {
    return switch (kind) {
      case CELL -> "Cell voltages";
      case CURRENT -> "Current, positive while charging";
      case TEMPERATURE -> "Temperatures";
      default -> kind.name();
    };
  }

  private String description() {
    double low = tracks.stream().mapToDouble(Track::lowest).min().orElse(0);
    double high = tracks.stream().mapToDouble(Track::highest).max().orElse(0);
    return "From "
        + number(low)
        + " to "
        + number(high)
        + " "
        + unit()
        + ". Lines are means, the shade reaches from the lowest to the highest single reading."
        + sensors()
        + beyond(axis());
  }

  /** " Sensors: cells 1, cells 2, switch."; empty in other plots. */
  private String sensors() {
    List<String> names = new ArrayList<>();
    for (Channel channel : channels) {
      if (kind == Channel.Kind.TEMPERATURE && channel.number() <= input.sensors().size()) {
        names.add(input.sensors().get(channel.number() - 1));
      }
    }
    return names.isEmpty() ? "" : " Sensors: " + String.join(", ", names) + ".";
  }

  /** Limits that lie outside the picture, in words. */
  private String beyond(ValueAxis value) {
    List<String> names = new ArrayList<>();
    for (LimitLine limit : input.limits()) {
      if (limit.kind() == kind && !value.shows(limit.value())) {
        names.add(limit.words());
      }
    }
    return names.isEmpty() ? "" : " Limits outside the picture: " + String.join(", ", names) + ".";
  }

  private String number(double value) {
    int decimals =
        switch (kind) {
          case CELL -> 3;
          case TEMPERATURE -> 1;
          default -> 2;
        };
    return Spoken.withMinus(String.format(Locale.ROOT, "%." + decimals + "f", value));
  }
}

package org.cellherd.report.plot;

import java.util.Optional;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Worded;
import org.cellherd.report.scene.Drawing;

/** The plots that there are. */
public enum Plots implements Worded {
  /** Capacity tests as voltage over charge. */
  DISCHARGE(400),
  /** Each cell's lead at every full charge. */
  LEADS(320),
  /** Every cell's distance from the pack's median. */
  HERD(380),
  /** Energy of each day. */
  ENERGY(240),
  /** State of charge of each day, lowest to highest. */
  RANGE(200),
  /** Capacity, test by test. */
  CAPACITY(240),
  /** Each cell's resistance over months. */
  RESISTANCE(240),
  CELLS(320),
  /** Current, positive while charging. */
  CURRENT(220),
  TEMPERATURE(220),
  /** State of charge: the board's own, and within which bounds the log knows it. */
  SOC(200);

  private final double height;

  Plots(double height) {
    this.height = height;
  }

  /** The plot of a word, or empty. */
  public static Optional<Plots> ofWord(String word) {
    return Worded.find(values(), word);
  }

  /** Usual size for a desk or for paper. */
  public Size wide() {
    return Size.wide(height);
  }

  /** Usual size for a phone. */
  public Size narrow() {
    return Size.narrow(Math.min(320, height));
  }

  /** Draws it; empty when the log holds nothing of it. */
  public Optional<Drawing> scene(PlotInput input, Size size) {
    return switch (this) {
      case DISCHARGE -> DischargePlot.scene(tests(input), DischargePlot.Over.CHARGE, size);
      case HERD -> HerdStrip.scene(input, size);
      case CELLS -> new LinePlot(input, size, Channel.Kind.CELL).scene();
      case CURRENT -> new LinePlot(input, size, Channel.Kind.CURRENT).scene();
      case TEMPERATURE -> new LinePlot(input, size, Channel.Kind.TEMPERATURE).scene();
      case SOC -> SocPlot.scene(input, size);
      case LEADS -> SeasonPlots.leads(input, size);
      case ENERGY -> EnergyPlot.scene(input, size);
      case RANGE -> RangePlot.scene(input, size);
      case CAPACITY -> SeasonPlots.capacity(input, size);
      case RESISTANCE -> SeasonPlots.resistance(input, size);
    };
  }

  private static DischargeLines tests(PlotInput input) {
    double cutOff =
        input.limits().stream()
            .filter(l -> l.kind() == Channel.Kind.CELL)
            .mapToDouble(LimitLine::value)
            .min()
            .orElse(Double.NaN);
    return DischargeLines.ofPack(input.findings().tests(), cutOff, input.zone());
  }

  /**
   * Size and margins of a plot, CSS pixels.
   *
   * @param width all of it
   * @param height all of it
   * @param left for value marks
   * @param right for the lines' names and numbers
   * @param narrow true on a phone: names without numbers
   */
  public record Size(double width, double height, double left, double right, boolean narrow) {

    /** Room above the plot for marks. */
    static final double TOP = 28;

    /** Room below for times and remarks. */
    static final double BOTTOM = 40;

    /** For a desk or for paper. */
    public static Size wide(double height) {
      return new Size(960, height, 58, 108, false);
    }

    /** For a phone. */
    public static Size narrow(double height) {
      return new Size(328, height, 44, 30, true);
    }

    double plotWidth() {
      return width - left - right;
    }

    double plotHeight() {
      return height - TOP - BOTTOM;
    }
  }
}

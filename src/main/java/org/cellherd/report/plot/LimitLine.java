package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;

/**
 * A level drawn across a plot.
 *
 * @param kind in plots of which quantity
 * @param value in the unit that people read (V, A, degC)
 * @param name such as {@code cut-off}
 */
public record LimitLine(Channel.Kind kind, double value, String name) {

  private static final double MV_PER_V = 1000;

  /** The cell levels of a plan, and the freezing point below which no cell is charged. */
  public static List<LimitLine> of(PackPlan plan) {
    CellLimits limits = plan.limits();
    List<LimitLine> lines = new ArrayList<>();
    lines.add(cell(limits.cutOffHighMv(), "highest"));
    lines.add(cell(limits.kneeMv(), "knee"));
    lines.add(cell(limits.cutOffLowMv(), "lowest"));
    lines.add(new LimitLine(Channel.Kind.TEMPERATURE, 0, "no charging below"));
    return lines;
  }

  private static LimitLine cell(int mv, String name) {
    return new LimitLine(Channel.Kind.CELL, mv / MV_PER_V, name);
  }
}

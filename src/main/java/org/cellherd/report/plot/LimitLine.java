package org.cellherd.report.plot;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.alert.rule.ColdCharge;
import org.cellherd.alert.rule.Hot;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A level drawn across a plot.
 *
 * @param kind in plots of which quantity
 * @param value in the unit that people read (V, A, degC)
 * @param name such as {@code cut-off}
 */
public record LimitLine(Channel.Kind kind, double value, String name) {

  private static final double MV_PER_V = 1000;
  private static final double MA_PER_A = 1000;

  /** Name and value, cells with the digits that readings have: {@code highest 3.650 V}. */
  public String words() {
    String number =
        kind == Channel.Kind.CELL
            ? String.format(Locale.ROOT, "%.3f", value)
            : plain(isSigned() ? value : Math.abs(value));
    String unit =
        switch (kind) {
          case CELL -> "V";
          case TEMPERATURE -> "\u00b0C";
          default -> "A";
        };
    return name + " " + number + "\u00a0" + unit;
  }

  /** A load's current is drawn below zero, and named by its size. */
  private boolean isSigned() {
    return kind == Channel.Kind.TEMPERATURE;
  }

  /** The cell levels of a plan, and the temperatures at which its usual rules speak. */
  public static List<LimitLine> of(PackPlan plan) {
    return of(plan, Rules.defaults(plan));
  }

  /** The cell levels of a plan, and the temperatures at which its rules speak. */
  public static List<LimitLine> of(PackPlan plan, AlertSettings rules) {
    CellLimits limits = plan.limits();
    List<LimitLine> lines = new ArrayList<>();
    lines.add(cell(limits.cutOffHighMv(), "highest"));
    lines.add(cell(limits.kneeMv(), "knee"));
    lines.add(cell(limits.cutOffLowMv(), "lowest"));
    lines.add(temperature(rules.rule(ColdCharge.ID), "no charging below"));
    lines.add(temperature(rules.rule(Hot.ID), "too hot above"));
    return lines;
  }

  /** What charger, load, board and fuse may carry, where the plan says it. */
  public static List<LimitLine> currents(PackPlan plan) {
    List<LimitLine> lines = new ArrayList<>();
    plan.chargerMa().ifPresent(ma -> lines.add(current(ma, "charger")));
    plan.loadMa().ifPresent(ma -> lines.add(current(-ma, "load")));
    plan.board().ifPresent(b -> b.continuousMa().ifPresent(ma -> lines.add(current(-ma, "board"))));
    plan.fuse().ifPresent(fuse -> lines.add(current(-fuse.ratedMa(), "fuse")));
    return lines;
  }

  private static LimitLine temperature(RuleSettings rule, String name) {
    return new LimitLine(Channel.Kind.TEMPERATURE, rule.number("limit_c"), name);
  }

  private static LimitLine current(int ma, String name) {
    return new LimitLine(Channel.Kind.CURRENT, ma / MA_PER_A, name);
  }

  private static LimitLine cell(int mv, String name) {
    return new LimitLine(Channel.Kind.CELL, mv / MV_PER_V, name);
  }

  /** Three digits that count, no exponent. */
  static String plain(double value) {
    return Spoken.withMinus(
        BigDecimal.valueOf(value).round(new MathContext(3)).stripTrailingZeros().toPlainString());
  }
}

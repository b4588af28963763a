package org.cellherd.app.config;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.cellherd.alert.setting.Parameter;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.PackPlan;

/** A plan as the {@code [[pack]]} table that {@link PlanReader} reads. */
public final class PlanText {

  private final StringBuilder text = new StringBuilder();

  private PlanText() {}

  /** The table; only what differs from the defaults of the chemistry is written. */
  public static String of(PackPlan plan) {
    PlanText writer = new PlanText();
    writer.write(plan);
    return writer.text.toString();
  }

  /** A file of all that answers from a pack's log rest on, for {@link ConfigFiles#loadPlans}. */
  public static String of(PackConfig pack) {
    PlanText writer = new PlanText();
    writer.put("zone", pack.analysis().zone().getId());
    writer.text.append('\n');
    writer.write(pack.plan());
    PackConfig usual = PackConfig.of(pack.plan(), pack.analysis().zone());
    writer.writeAnalysis(pack.analysis(), usual.analysis());
    pack.alerts().all().forEach(set -> writer.writeRule(set, usual.alerts().rule(set.rule())));
    return writer.text.toString();
  }

  private void write(PackPlan plan) {
    PackPlan usual =
        PackPlan.of(plan.id(), plan.chemistry(), plan.series(), plan.parallel(), plan.ratedMah());
    text.append("[[pack]]\n");
    put("id", plan.id());
    put("name", plan.name());
    put("chemistry", plan.chemistry().word());
    put("series", plan.series());
    put("parallel", plan.parallel());
    putMilli("rated_ah", plan.ratedMah());
    if (plan.chargeMv() != usual.chargeMv()) {
      put("charge_mv", plan.chargeMv());
    }
    if (plan.tailMa() != usual.tailMa()) {
      putMilli("tail_a", plan.tailMa());
    }
    plan.loadMa().ifPresent(a -> putMilli("load_a", a));
    plan.chargerMa().ifPresent(a -> putMilli("charger_a", a));
    if (plan.hiddenLoadMa() != 0) {
      put("hidden_load_ma", plan.hiddenLoadMa());
    }
    if (plan.priorCycles() != 0) {
      put("prior_cycles", plan.priorCycles());
    }
    if (plan.partialCharge()) {
      text.append("partial_charge = true\n");
    }
    if (!plan.sensors().isEmpty()) {
      text.append("sensors = [");
      for (int i = 0; i < plan.sensors().size(); i++) {
        text.append(i == 0 ? "\"" : ", \"");
        text.append(plan.sensors().get(i).word()).append('"');
      }
      text.append("]\n");
    }
    if (!plan.note().isEmpty()) {
      put("note", plan.note());
    }
    writeUnits(plan);
    writeCell(plan, usual.limits());
    plan.board().ifPresent(this::writeBoard);
    plan.fuse().ifPresent(this::writeFuse);
    plan.wire().ifPresent(this::writeWire);
    for (PackPlan.Change change : plan.history()) {
      text.append("\n[[pack.history]]\nat = ")
          .append(Instant.ofEpochMilli(change.atMs()))
          .append('\n');
      put("what", change.what());
      change
          .swap()
          .ifPresent(
              swap -> {
                put("out", swap.out());
                put("in", swap.in());
              });
    }
  }

  private void writeUnits(PackPlan plan) {
    if (!plan.cells().isEmpty()) {
      text.append("cells = [\n");
      for (List<String> group : plan.cells()) {
        String ids = group.stream().map(PlanText::quoted).collect(Collectors.joining(", "));
        text.append("  [").append(ids).append("],\n");
      }
      text.append("]\n");
    }
  }

  private void writeCell(PackPlan plan, CellLimits usual) {
    if (plan.cell().equals(PackPlan.CellRating.NONE) && plan.limits().equals(usual)) {
      return;
    }
    text.append("\n[pack.cell]\n");
    putMilli("continuous_a", plan.cell().continuousMa());
    putMilli("peak_a", plan.cell().peakMa());
    putMilli("charge_a", plan.cell().chargeMa());
    CellLimits limits = plan.limits();
    if (!limits.equals(usual)) {
      put("cut_off_high_mv", limits.cutOffHighMv());
      put("warn_high_mv", limits.warnHighMv());
      put("full_mv", limits.fullMv());
      put("knee_mv", limits.kneeMv());
      put("nominal_mv", limits.nominalMv());
      put("warn_low_mv", limits.warnLowMv());
      put("cut_off_low_mv", limits.cutOffLowMv());
    }
  }

  private void writeBoard(PackPlan.BoardRating board) {
    text.append("\n[pack.board]\n");
    put("name", board.name());
    putMilli("continuous_a", board.continuousMa());
    putMilli("trip_a", board.tripMa());
    board.tripHighMv().ifPresent(mv -> put("trip_high_mv", mv));
    board.tripLowMv().ifPresent(mv -> put("trip_low_mv", mv));
    board.bleedMa().ifPresent(ma -> put("bleed_ma", ma));
    board.bleedFromMv().ifPresent(mv -> put("bleed_from_mv", mv));
  }

  private void writeFuse(PackPlan.FuseRating fuse) {
    text.append("\n[pack.fuse]\n");
    putMilli("rated_a", fuse.ratedMa());
    fuse.interruptA().ifPresent(a -> put("interrupt_a", a));
    putMilli("max_v", fuse.maxMv());
  }

  private void writeAnalysis(AnalysisSettings set, AnalysisSettings usual) {
    if (!set.equals(usual)) {
      text.append("\n[pack.analysis]\n");
      putMilli("dead_zone_a", set.deadZoneMa());
      put("balanced_mv", set.balancedMv());
      put("balanced_hold_min", set.balancedHoldMs() / 60_000);
    }
  }

  private void writeRule(RuleSettings set, RuleSettings usual) {
    PlanText changed = new PlanText();
    if (set.enabled() != usual.enabled()) {
      changed.text.append("enabled = ").append(set.enabled()).append('\n');
    }
    if (set.priority() != usual.priority()) {
      changed.put("priority", set.priority().word());
    }
    for (Parameter number : set.parameters()) {
      if (number.value() != usual.number(number.key())) {
        String value = BigDecimal.valueOf(number.value()).toPlainString();
        changed.text.append(number.key()).append(" = ").append(value).append('\n');
      }
    }
    if (changed.text.length() > 0) {
      text.append("\n[pack.alert.").append(set.table()).append("]\n").append(changed.text);
    }
  }

  private void writeWire(PackPlan.Wire wire) {
    text.append("\n[pack.wire]\n");
    putMilli("ampacity_a", wire.ampacityMa());
    wire.tenthMm2().ifPresent(mm2 -> putScaled("area_mm2", mm2, 1));
    putMilli("length_m", wire.lengthMm());
  }

  private void put(String key, long value) {
    text.append(key).append(" = ").append(value).append('\n');
  }

  private void putMilli(String key, long milli) {
    putScaled(key, milli, 3);
  }

  private void putMilli(String key, OptionalInt milli) {
    milli.ifPresent(v -> putMilli(key, v));
  }

  private void putScaled(String key, long value, int decimals) {
    BigDecimal number = BigDecimal.valueOf(value, decimals).stripTrailingZeros();
    text.append(key).append(" = ").append(number.toPlainString()).append('\n');
  }

  private void put(String key, String value) {
    text.append(key).append(" = ").append(quoted(value)).append('\n');
  }

  /** A text as TOML writes it, in quotes. */
  public static String quoted(String value) {
    StringBuilder text = new StringBuilder("\"");
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      if (c == '"' || c == '\\') {
        text.append('\\').append(c);
      } else if (c < ' ' || c == 0x7f) {
        text.append(String.format(Locale.ROOT, "\\u%04x", (int) c));
      } else {
        text.append(c);
      }
    }
    return text.append('"').toString();
  }
}

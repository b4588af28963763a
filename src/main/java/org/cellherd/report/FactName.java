package org.cellherd.report;

import java.util.Arrays;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * What people call a fact, and the unit of its value.
 *
 * @param what empty where the value speaks for itself
 * @param unit empty for what has none
 */
record FactName(String what, String unit) {

  private static final Map<String, String> UNITS =
      Map.ofEntries(
          Map.entry("mv", "mV"),
          Map.entry("v", "V"),
          Map.entry("ma", "mA"),
          Map.entry("a", "A"),
          Map.entry("ah", "Ah"),
          Map.entry("wh", "Wh"),
          Map.entry("w", "W"),
          Map.entry("mohm", "m\u03a9"),
          Map.entry("pct", "%"),
          Map.entry("h", "h"),
          Map.entry("s", "s"),
          Map.entry("c", "\u00b0C"),
          Map.entry("min", "min"),
          Map.entry("minutes", "min"),
          Map.entry("hours", "h"),
          Map.entry("days", "days"),
          Map.entry("years", "years"));

  /** Where the parts of a name do not tell people what it is; the unit stays that of the key. */
  private static final Map<String, String> SPOKEN =
      Map.<String, String>ofEntries(
          Map.entry("above_mv", "above the median"),
          Map.entry("ah_at_25c", "capacity at 25 \u00b0C"),
          Map.entry("anchor", "counted from"),
          Map.entry("anchor_at", "counted since"),
          Map.entry("apart", "out of step before"),
          Map.entry("at", "time"),
          Map.entry("at_25c_mohm", "median cell at 25 \u00b0C"),
          Map.entry("autonomy_days", "a full pack carries this load for"),
          Map.entry("balanced", "with all cells full at once"),
          Map.entry("before", "cells before"),
          Map.entry("behind_ah", "behind the median cell when last full"),
          Map.entry("best_ah", "the best before"),
          Map.entry("beyond_zone_minutes", "beyond the charge zones"),
          Map.entry("bleed_a", "bleed current"),
          Map.entry("bleed_source", "bleed current known from"),
          Map.entry("board_floor_mv", "accuracy of the board"),
          Map.entry("bus_difference_mv", "difference to the bus"),
          Map.entry("c_rate", "rate"),
          Map.entry("capacity_ah", "capacity of a full pack"),
          Map.entry("capacity_left_early_level_at", "capacity left its early level"),
          Map.entry("cause_text", "what that means"),
          Map.entry("cells_sum_mohm", "all cells together"),
          Map.entry("charge", "charging"),
          Map.entry("cold_charge_minutes", "charged below 0 \u00b0C"),
          Map.entry("comparable", "comparable"),
          Map.entry("costs_5_pct", "imbalance costs 5 % of the capacity in"),
          Map.entry("costs_ah", "imbalance costs"),
          Map.entry("coverage_pct", "coverage"),
          Map.entry("days", "time without a full charge"),
          Map.entry("days_left", "time left"),
          Map.entry("days_since_full", "time since full"),
          Map.entry("days_to_5_pct", "5 % lost in"),
          Map.entry("dead_zone_ma", "currents that may be printed as zero, up to"),
          Map.entry("depth_pct", "depth of discharge"),
          Map.entry("depth_to_pct", "depth up to"),
          Map.entry("drawn_ah", "charge counted"),
          Map.entry("drift_ma", "unexplained drift"),
          Map.entry("empty_on_early", "empty at the earliest on"),
          Map.entry("empty_on_late", "empty at the latest on"),
          Map.entry("empty_reason", "no date of empty, because"),
          Map.entry("end", "ended by"),
          Map.entry("end_lag_mv", "below the median at the end"),
          Map.entry("end_mv", "lowest cell at the end"),
          Map.entry("end_reason", "ended by"),
          Map.entry("end_spread_mv", "spread at the end"),
          Map.entry("eta_h", "time to balance"),
          Map.entry("events", "load steps"),
          Map.entry("fair_share_pct", "share by its rating"),
          Map.entry("first", "first stop of the charge"),
          Map.entry("first_ah", "at first"),
          Map.entry("first_empty_cell", "first cell to be empty"),
          Map.entry("first_full_cell", "first cell to be full"),
          Map.entry("full_minutes", "time at full"),
          Map.entry("gain_pct", "gain of the current may be off by"),
          Map.entry("gap_s", "time without readings"),
          Map.entry("given_ah", "given from full so far"),
          Map.entry("habit_charges", "charges before"),
          Map.entry("habit_mv", "usual end of a charge"),
          Map.entry("hidden_load_pct_per_day", "load that the count does not see"),
          Map.entry("highest_mv", "highest cell voltage"),
          Map.entry("hot_minutes", "time above 45 \u00b0C"),
          Map.entry("hours", "duration"),
          Map.entry("hours_left", "time left"),
          Map.entry("hours_to_sun", "time to sunrise"),
          Map.entry("imbalance_costs", "balancing would bring"),
          Map.entry("in_trend", "counts for the trend"),
          Map.entry("label_ah", "label"),
          Map.entry("last_heard", "last reading"),
          Map.entry("last_mv", "at the end"),
          Map.entry("lead_growth", "growth of the lead"),
          Map.entry("leader", "cell that is ahead"),
          Map.entry("left", "charge left at the end"),
          Map.entry("left_apart", "out of step at its end"),
          Map.entry("life", "life left"),
          Map.entry("life_basis", "life left estimated from"),
          Map.entry("limited_by", "limited by"),
          Map.entry("limiting_was_behind", "limiting cell not full at the start"),
          Map.entry("log_days", "length of the log"),
          Map.entry("mad_mohm", "scatter of the steps"),
          Map.entry("may_be_wiring", "may be wiring"),
          Map.entry("mean_c_rate", "mean rate"),
          Map.entry("mean_crate", "mean rate"),
          Map.entry("mean_soc_pct", "mean state of charge"),
          Map.entry("mean_v", "mean voltage"),
          Map.entry("measured_hours", "measured over"),
          Map.entry("median_mohm", "median cell"),
          Map.entry("median_mv", "median cell"),
          Map.entry("metered", "current checked with a meter"),
          Map.entry("minutes", "time to the limit"),
          Map.entry("minutes_to_limit", "time to the limit"),
          Map.entry("mohm", "resistance"),
          Map.entry("net_7d_wh", "charged less discharged in 7 days"),
          Map.entry("net_ah", "charged less discharged since then"),
          Map.entry("obstacle", "because"),
          Map.entry("offset_ah", "offset of the current, over the test"),
          Map.entry("open", "carries no current"),
          Map.entry("open_alerts", "active alerts"),
          Map.entry("other_rate", "against a test at another rate"),
          Map.entry("partial", "part of it estimated"),
          Map.entry("path_mohm", "resistance between cells and terminals"),
          Map.entry("peak_charge_w", "peak power in"),
          Map.entry("peak_discharge_w", "peak power out"),
          Map.entry("period_min", "time between two stops"),
          Map.entry("peukert_k", "Peukert exponent"),
          Map.entry("planned", "cells in the plan"),
          Map.entry("pulse_s", "time after the step"),
          Map.entry("rated_pct", "share of the rated capacity"),
          Map.entry("ratio_pct", "ratio"),
          Map.entry("reasons", "because"),
          Map.entry("remaining_ah", "left to bleed"),
          Map.entry("reported", "cells reported"),
          Map.entry("rest_current_a", "current reported at rest"),
          Map.entry("rest_days", "at rest for"),
          Map.entry("rest_hours", "at rest for"),
          Map.entry("rest_minutes", "pauses"),
          Map.entry("round_trip_30d_pct", "round trip of 30 days"),
          Map.entry("same_s", "unchanged for"),
          Map.entry("sd_mv", "scatter"),
          Map.entry("se_mv_per_day", "standard error"),
          Map.entry("share_pct", "share of the current"),
          Map.entry("since_first", "against the first comparable test"),
          Map.entry("since_previous", "against the test before"),
          Map.entry("smallest_costs", "a smallest cell like the others would bring"),
          Map.entry("soc_max_pct", "highest state of charge"),
          Map.entry("soc_min_pct", "lowest state of charge"),
          Map.entry("soc_pct", "state of charge"),
          Map.entry("spread_by_class", "spread while"),
          Map.entry("start_kind", "full before by"),
          Map.entry("state", "balance"),
          Map.entry("strap_mohm", "links and switches"),
          Map.entry("temperature_corrected", "corrected for temperature"),
          Map.entry("to_pct", "down to"),
          Map.entry("trips", "stops of the charge"),
          Map.entry("trips_last_hour", "stops in the last hour"),
          Map.entry("usable", "what limits the usable charge"),
          Map.entry("used_cycles_trade", "cycles used so far by the rule of thumb"),
          Map.entry("voltage_tells", "voltage shows the charge"),
          Map.entry("was_charging_at_top", "at the top of a charge then"),
          Map.entry("was_ever_full", "full before"),
          Map.entry("was_heard", "heard before"),
          Map.entry("weak_cause", "why it is weak"),
          Map.entry("wh_by", "energy counted with"),
          Map.entry("wh_of_cells", "energy by the sum of the cells"),
          // A key within another fact or in its table.
          Map.entry("capacity_history.ah", "capacity"),
          Map.entry("cells.mohm", "resistance"),
          Map.entry("cells.strap_mohm", "joint"),
          Map.entry("lead_growth.ah_per_day", "growth"),
          Map.entry("apart.ah", "by"),
          Map.entry("left_apart.ah", "by"),
          Map.entry(".ah", "capacity"),
          Map.entry(".wh", "energy"));

  /** Parts of a name that are written short. */
  private static final Map<String, String> PARTS =
      Map.of("soc", "state of charge", "temp", "temperature", "ah", "Ah", "max", "highest");

  /** Units that keys do not end with. */
  private static final Map<String, String> OTHER_UNITS =
      Map.of(
          "c_rate",
          "C",
          "mean_c_rate",
          "C",
          "mean_crate",
          "C",
          "wh_of_cells",
          "Wh",
          "ah_at_25c",
          "Ah",
          "eta_h",
          "h");

  /** Units that a key may begin with: {@code hours_left}. */
  private static final Set<String> TIMES = Set.of("minutes", "hours", "days");

  /** Keys whose values need no name inside another fact. */
  private static final Set<String> PLAIN_WITHIN = Set.of("is", "at", "state");

  /** Keys that go on with what stands before them inside another fact. */
  private static final Set<String> GOING_ON = Set.of("is", "apart.ah", "left_apart.ah", "obstacle");

  private static final Pattern RATE =
      Pattern.compile("(.*?)_?(mv|ah|ma|c|pct|mohm)_per_(min|day|h|year|cell)");

  /** Of a key within the facts of another key; that is empty at the top. */
  static FactName of(String within, String key) {
    String unit = unit(key);
    String spoken = SPOKEN.getOrDefault(within + "." + key, SPOKEN.get(key));
    return new FactName(spoken == null ? words(key) : spoken, unit);
  }

  /** Within a sentence, where many a value speaks for itself. */
  static FactName spoken(String within, String key) {
    FactName name = of(within, key);
    return PLAIN_WITHIN.contains(key) ? new FactName("", name.unit()) : name;
  }

  /** False where a sentence goes on without a comma. */
  static boolean isApart(String within, String key) {
    return !GOING_ON.contains(key) && !GOING_ON.contains(within + "." + key);
  }

  private static String unit(String key) {
    String other = OTHER_UNITS.get(key);
    if (other != null) {
      return other;
    }
    Matcher rate = RATE.matcher(key);
    if (rate.matches()) {
      return UNITS.get(rate.group(2)) + "/" + rate.group(3);
    }
    String first = key.substring(0, Math.max(0, key.indexOf('_')));
    return TIMES.contains(first)
        ? UNITS.getOrDefault(first, "")
        : UNITS.getOrDefault(key.substring(key.lastIndexOf('_') + 1), "");
  }

  /** A key without its unit. */
  private static String words(String key) {
    Matcher rate = RATE.matcher(key);
    int cut = key.lastIndexOf('_');
    String what =
        rate.matches()
            ? rate.group(1)
            : !UNITS.containsKey(key.substring(cut + 1))
                ? key
                : cut < 0 ? "" : key.substring(0, cut);
    return Arrays.stream(what.split("_"))
        .map(part -> PARTS.getOrDefault(part, part))
        .collect(Collectors.joining(" "));
  }

  /** Above a column of values without their unit, in the table of another fact. */
  String head(FactName table) {
    String named = what.isEmpty() ? table.what() : what;
    return unit.isEmpty() ? named : named + ", " + unit;
  }

  /** A value with the unit behind it. */
  String measured(String value) {
    return unit.isEmpty() || !value.matches(".*[0-9)]")
        ? value
        : value + (Objects.equals(unit, "C") ? "" : " ") + unit;
  }
}

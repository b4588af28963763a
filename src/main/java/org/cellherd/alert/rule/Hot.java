package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Spoken;

/**
 * A cell or the board's switches are too hot: the sensor at the worse level, or further over it.
 */
public final class Hot extends Rule {
  public static final RuleId ID = new RuleId("hot");

  static final Rule.Kind KIND =
      Rule.Kind.of(ID, "a cell or the board's switches are too hot.", Hot::defaults, Hot::new);

  /** Farther below its level than any sensor can be. */
  private static final double ABSENT = Double.NEGATIVE_INFINITY;

  private final Levels cell;
  private final Levels board;
  private final double deadband;

  private record Levels(double warn, double limit) {
    int of(double celsius) {
      return celsius > limit ? 2 : celsius > warn ? 1 : 0;
    }
  }

  /** 50/60 degC of a cell and 80/100 degC of a switch are common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .number("limit_c", 60, -40, 150, "a cell above: critical")
        .number("warn_c", 50, -40, 150, "a cell above: warning")
        .number("switch_limit_c", 100, -40, 200, "the board's switches above: critical")
        .number("switch_warn_c", 80, -40, 200, "the board's switches above: warning")
        .number("deadband_c", 2, 0, 20, "over only this much below")
        .delays(30, 60)
        .repeatedAfter(6);
  }

  Hot(RuleSettings set) {
    super(Terms.liveWithWarning(set, "\u00b0C").spoiltAs(Doubt.HEAT));
    cell = levels(set.number("warn_c"), set.number("limit_c"));
    board = levels(set.number("switch_warn_c"), set.number("switch_limit_c"));
    deadband = set.number("deadband_c");
  }

  private static Levels levels(double warn, double limit) {
    return new Levels(Math.min(warn, limit), limit);
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Sensors sensors = input.sensors();
    int hotCell = sensors.hottest(SensorRole.CELL);
    int hotBoard = sensors.hottest(SensorRole.SWITCH);
    if (hotCell == 0 && hotBoard == 0) {
      return;
    }
    double cellOver = hotCell == 0 ? ABSENT : sensors.celsius(hotCell) - cell.warn();
    double boardOver = hotBoard == 0 ? ABSENT : sensors.celsius(hotBoard) - board.warn();
    int cellLevel = worst(hotCell, cell, sensors);
    int boardLevel = worst(hotBoard, board, sensors);
    boolean isCell = cellLevel == boardLevel ? cellOver >= boardOver : cellLevel > boardLevel;
    int sensor = isCell ? hotCell : hotBoard;
    Levels levels = isCell ? cell : board;
    double celsius = sensors.celsius(sensor);
    int level = Math.max(cellLevel, boardLevel);
    boolean inside = Math.max(cellOver, boardOver) <= -deadband;
    double limit = levels.of(celsius) == 1 ? levels.warn() : levels.limit();
    if (out.needs(0, level)) {
      out.judge(
          0,
          new Judgement(
              level, inside, celsius, limit, () -> words(sensor, celsius, limit, isCell)));
    }
  }

  private static int worst(int sensor, Levels levels, Sensors sensors) {
    return sensor == 0 ? 0 : levels.of(sensors.celsius(sensor));
  }

  private static Words words(int sensor, double celsius, double limit, boolean isCell) {
    return Words.of(
        (isCell ? "Cells" : "Board switches")
            + " at "
            + Spoken.celsius(celsius)
            + " (sensor "
            + sensor
            + "), above "
            + Spoken.celsius(limit),
        "Stop charge and load, let it cool, and look for the source of the heat.",
        Facts.of()
            .put("sensor", sensor)
            .put("temp_c", celsius, 1)
            .put("place", isCell ? "cell" : "switch")
            .build());
  }
}

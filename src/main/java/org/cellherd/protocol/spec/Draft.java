package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.Dialogue.Doubt;
import org.cellherd.protocol.Dialogue.Extra;
import org.jspecify.annotations.Nullable;

/**
 * A reading under way: values from one or several messages. Cells and sensors without a reading at
 * the end of their row are not counted, as in a log of channels. Belongs to one thread.
 */
public final class Draft {
  private final OptionalInt[] cells = new OptionalInt[Channel.MAX_NUMBER];
  private final OptionalInt[] temperatures = new OptionalInt[Channel.MAX_NUMBER];
  private int cellCount;
  private int temperatureCount;
  private final Map<Target, Long> single = new EnumMap<>(Target.class);
  private final List<Extra> extras = new ArrayList<>();
  private final List<Doubt> doubts = new ArrayList<>();
  private final StringBuilder identity = new StringBuilder();
  private final Set<String> seen = new HashSet<>();
  private final Map<String, Long> raws = new HashMap<>();
  private final RawValues told;

  /** An empty draft that knows of no other message. */
  public Draft() {
    this(RawValues.NOTHING);
  }

  /** An empty draft that knows what other messages told. */
  public Draft(RawValues told) {
    this.told = told;
    Arrays.fill(cells, OptionalInt.empty());
    Arrays.fill(temperatures, OptionalInt.empty());
  }

  /**
   * Puts a value inside at its place; {@code number} counts from 1 where the target is numbered.
   */
  public void put(Target target, int number, long value) {
    switch (target) {
      case CELL -> {
        cells[number - 1] = OptionalInt.of((int) value);
        cellCount = Math.max(cellCount, number);
      }
      case TEMPERATURE -> {
        temperatures[number - 1] = OptionalInt.of((int) value);
        temperatureCount = Math.max(temperatureCount, number);
      }
      case BLEEDING ->
          single.merge(Target.BLEED_MASK, value != 0 ? 1L << (number - 1) : 0, (a, b) -> a | b);
      case ANY_BLEEDING ->
          extra("bleeding", value == 0 ? "none" : "some cells (the board does not report which)");
      case BLEED_MASK, ALARMS -> single.merge(target, value, (a, b) -> a | b);
      default -> single.put(target, value);
    }
  }

  /** As {@link #put}; a value beyond what is usual for its kind is doubted under a name. */
  public void putDoubting(String name, Target target, int number, long value) {
    put(target, number, value);
    Usual usual = Usual.of(target);
    if (usual.isExceeded((double) value)) {
      String unit = target.units().keySet().iterator().next();
      double factor = target.factor(unit).orElse(1);
      doubtKept(
          name,
          "is %s %s, usual: %s to %s %s"
              .formatted(
                  value / factor, unit, usual.least() / factor, usual.most() / factor, unit));
    }
  }

  public void addAll(Draft other) {
    for (int i = 0; i < cells.length; i++) {
      cells[i] = other.cells[i].isPresent() ? other.cells[i] : cells[i];
      temperatures[i] = other.temperatures[i].isPresent() ? other.temperatures[i] : temperatures[i];
    }
    cellCount = Math.max(cellCount, other.cellCount);
    temperatureCount = Math.max(temperatureCount, other.temperatureCount);
    other.single.forEach((target, value) -> put(target, 1, value));
    extras.addAll(other.extras);
    doubts.addAll(other.doubts);
    seen.addAll(other.seen);
    raws.putAll(other.raws);
    if (!other.identity.isEmpty()) {
      identity(other.identity.toString());
    }
  }

  /** The voltages of the cells that have one, in their order, 0.1 mV. */
  public int[] cellValues() {
    return Arrays.stream(cells, 0, cellCount)
        .filter(OptionalInt::isPresent)
        .mapToInt(OptionalInt::getAsInt)
        .toArray();
  }

  /** What other messages told. */
  RawValues told() {
    return told;
  }

  /** Notes the raw values of a message's named fields. */
  void raws(Map<String, Long> values) {
    raws.putAll(values);
  }

  /** Raw values of the named fields; not to be changed. */
  public Map<String, Long> raws() {
    return raws;
  }

  /** The raw value of a named field, of this or ({@code message.field}) of another message. */
  public @Nullable Long raw(String name) {
    Long own = raws.get(name);
    return own == null ? told.raw(name) : own;
  }

  /** Notes that a part of a message came, with or without a reading. */
  public void see(String part) {
    seen.add(part);
  }

  /** True when a part of a message came. */
  public boolean saw(String part) {
    return seen.contains(part);
  }

  public void extra(String name, String text) {
    extras.add(new Extra(name, text));
  }

  /** Notes a value that cannot be taken, and why. */
  public void doubt(String name, String text) {
    doubts.add(new Doubt(name, text, false));
  }

  /** Notes a value that is taken, and why it is hard to believe. */
  public void doubtKept(String name, String text) {
    doubts.add(new Doubt(name, text, true));
  }

  /** Values that are hard to believe or cannot be taken. */
  public List<Doubt> doubts() {
    return List.copyOf(doubts);
  }

  /** Adds to what tells this board from another. */
  public void identity(String text) {
    identity.append(identity.isEmpty() ? "" : " ").append(text);
  }

  /** Values for people. */
  public List<Extra> extras() {
    return List.copyOf(extras);
  }

  /** What tells this board from another, or "". */
  public String identity() {
    return identity.toString();
  }

  /** The reading at a time in ms UTC. */
  public Reading reading(long timeMs) {
    Reading.Builder b = Reading.at(timeMs);
    if (cellCount > 0) {
      b.cells(CellVoltages.ofOptional(Arrays.copyOf(cells, cellCount)));
    }
    if (temperatureCount > 0) {
      b.temperatures(Temperatures.ofOptional(Arrays.copyOf(temperatures, temperatureCount)));
    }
    single.forEach((target, value) -> target.kind().ifPresent(kind -> b.value(kind, value)));
    return b.build();
  }
}

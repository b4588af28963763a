package org.cellherd.pack;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Pattern;
import java.util.stream.IntStream;

/**
 * What the builder says the pack is: the {@code [[pack]]} table of a file. Everything that a file
 * may leave out is optional here or has its default in {@link Builder}.
 *
 * @param id a-z, 0-9 and hyphen, used in topics and files
 * @param name what people call it
 * @param chemistry cell chemistry
 * @param series cells in series
 * @param parallel cells in parallel in each group
 * @param ratedMah rated capacity of the whole pack, mAh
 * @param limits voltages of one cell
 * @param chargeMv charge voltage of the whole pack, mV
 * @param tailMa charge counts as finished below this current, mA
 * @param cell ratings of one cell
 * @param board ratings of the protection board, if told
 * @param fuse ratings of the fuse, if told
 * @param wire the main wire, if told
 * @param loadMa greatest continuous load, mA
 * @param chargerMa greatest charge current, mA
 * @param sensors role of each temperature sensor, first sensor first; sensors beyond the list are
 *     {@link SensorRole#CELL}
 * @param hiddenLoadMa a constant load that the board's current sensor does not see, mA
 * @param priorCycles equivalent full cycles before this log began
 * @param partialCharge true when the owner means never to charge full
 * @param history dated changes; every fold ends there and begins anew
 * @param note the builder's note for the label
 * @param cells what is written on the units of each group as built, first group first; empty when
 *     not told. Who is there later follows from the history.
 */
public record PackPlan(
    String id,
    String name,
    Chemistry chemistry,
    int series,
    int parallel,
    long ratedMah,
    CellLimits limits,
    int chargeMv,
    int tailMa,
    CellRating cell,
    Optional<BoardRating> board,
    Optional<FuseRating> fuse,
    Optional<Wire> wire,
    OptionalInt loadMa,
    OptionalInt chargerMa,
    List<SensorRole> sensors,
    int hiddenLoadMa,
    int priorCycles,
    boolean partialCharge,
    List<Change> history,
    String note,
    List<List<String>> cells) {

  /** What a temperature sensor touches. */
  public enum SensorRole implements Worded {
    /** A cell: the only kind that cold-charge rules believe. */
    CELL,
    /** The board's switches. */
    SWITCH,
    /** The air around. */
    AMBIENT,
    /** Not fitted. */
    UNUSED
  }

  /**
   * Ratings of one cell.
   *
   * @param continuousMa greatest continuous current
   * @param peakMa greatest short current
   * @param chargeMa greatest continuous charge current
   */
  public record CellRating(OptionalInt continuousMa, OptionalInt peakMa, OptionalInt chargeMa) {
    public static final CellRating NONE =
        new CellRating(OptionalInt.empty(), OptionalInt.empty(), OptionalInt.empty());
  }

  /**
   * Ratings and set-points of the board.
   *
   * @param name label text
   * @param continuousMa greatest continuous current
   * @param tripMa over-current trip
   * @param tripHighMv cell over-voltage trip
   * @param tripLowMv cell under-voltage trip
   * @param bleedMa bleed current of one cell
   * @param bleedFromMv cells bleed from this voltage on
   */
  public record BoardRating(
      String name,
      OptionalInt continuousMa,
      OptionalInt tripMa,
      OptionalInt tripHighMv,
      OptionalInt tripLowMv,
      OptionalInt bleedMa,
      OptionalInt bleedFromMv) {}

  /**
   * Ratings of the fuse.
   *
   * @param ratedMa rated current
   * @param interruptA greatest current it can break
   * @param maxMv greatest DC voltage
   */
  public record FuseRating(int ratedMa, OptionalInt interruptA, OptionalInt maxMv) {}

  /**
   * The main wire.
   *
   * @param ampacityMa greatest continuous current at its temperature
   * @param tenthMm2 cross-section, 0.1 mm2
   * @param lengthMm one way
   */
  public record Wire(OptionalInt ampacityMa, OptionalInt tenthMm2, OptionalInt lengthMm) {}

  /**
   * A dated change of the pack.
   *
   * @param atMs ms UTC
   * @param what such as "cell 5 replaced"
   * @param swap the unit that was replaced, if it was one
   */
  public record Change(long atMs, String what, Optional<Swap> swap) {
    /** A change that replaced no named unit. */
    public Change(long atMs, String what) {
      this(atMs, what, Optional.empty());
    }
  }

  /**
   * A unit replaced by another.
   *
   * @param out what is written on the old one
   * @param in what is written on the new one
   */
  public record Swap(String out, String in) {}

  /**
   * Ids of packs, banks and sites. Two hyphens in a row are kept free: they join ids where only one
   * word is allowed, and two different pairs must never give the same word.
   */
  public static final String ID_PATTERN = "(?=.{1,40}$)[a-z0-9]+(-[a-z0-9]+)*";

  private static final Pattern ID = Pattern.compile(ID_PATTERN);

  /** The same for people. */
  public static final String ID_WORDS = "a-z, 0-9 and single hyphens between them, 1 to 40 long";

  /** Most cells in series that any part of the program handles. */
  public static final int MAX_SERIES = Channel.MAX_NUMBER;

  /** Refuses a plan that cannot be. */
  public PackPlan {
    if (!isId(id)) {
      throw new IllegalArgumentException("pack id '" + id + "' must be a-z, 0-9 and hyphen");
    }
    if (series < 1 || series > MAX_SERIES) {
      throw new IllegalArgumentException("series " + series + ", allowed 1 to " + MAX_SERIES);
    }
    if (parallel < 1 || parallel > 10_000) {
      throw new IllegalArgumentException("parallel " + parallel + ", allowed 1 to 10000");
    }
    if (ratedMah < 1 || ratedMah > 100_000_000) {
      throw new IllegalArgumentException("rated_ah out of range: " + ratedMah + " mAh");
    }
    sensors = List.copyOf(sensors);
    history = List.copyOf(history);
    cells = cells.stream().map(List::copyOf).toList();
    if (!cells.isEmpty() && cells.size() != series) {
      throw new IllegalArgumentException(
          cells.size() + " groups of cells, " + series + " in series");
    }
  }

  /** True for a text of {@link #ID_PATTERN}. */
  public static boolean isId(String text) {
    return ID.matcher(text).matches();
  }

  /** A builder that starts with the defaults of the chemistry. */
  public static Builder builder(
      String id, Chemistry chemistry, int series, int parallel, long ratedMah) {
    return new Builder(id, chemistry, series, parallel, ratedMah);
  }

  /** The smallest plan that makes sense, with all defaults of the chemistry. */
  public static PackPlan of(
      String id, Chemistry chemistry, int series, int parallel, long ratedMah) {
    return new Builder(id, chemistry, series, parallel, ratedMah).build();
  }

  public Builder toBuilder() {
    return new Builder(this);
  }

  /** Nominal voltage of the pack, mV. */
  public int nominalMv() {
    return series * limits.nominalMv();
  }

  /**
   * What people call a temperature sensor: by what it touches, and by a number where several touch
   * the same.
   *
   * @param sensor from 1
   * @param count how many sensors the board reports
   */
  public String sensorName(int sensor, int count) {
    String name =
        switch (role(sensor)) {
          case CELL -> "Cell sensor";
          case SWITCH -> "Board's switch";
          case AMBIENT -> "Air";
          case UNUSED -> "Unused sensor";
        };
    return name + among(sensor, count);
  }

  /** The same in one short word for the end of a line: "cells 1", "switch". */
  public String sensorWord(int sensor, int count) {
    String word =
        switch (role(sensor)) {
          case CELL -> "cells";
          case SWITCH -> "switch";
          case AMBIENT -> "air";
          case UNUSED -> "unused";
        };
    return word + among(sensor, count);
  }

  /** Its number among those of the same role, where there are several. */
  private String among(int sensor, int count) {
    SensorRole role = role(sensor);
    List<Integer> alike =
        IntStream.rangeClosed(1, Math.max(sensor, count))
            .filter(n -> role(n) == role)
            .boxed()
            .toList();
    return alike.size() == 1 ? "" : " " + (alike.indexOf(sensor) + 1);
  }

  /** Role of a temperature sensor, numbered from 1. */
  public SensorRole role(int sensor) {
    return sensor <= sensors.size() ? sensors.get(sensor - 1) : SensorRole.CELL;
  }

  /** The units of each group at a time, ms UTC, first group first; empty when not told. */
  public List<List<String>> unitsAt(long atMs) {
    List<List<String>> now = cells;
    for (Change change : history) {
      if (change.atMs() <= atMs && change.swap().isPresent()) {
        Swap swap = change.swap().get();
        now = now.stream().map(g -> swapped(g, swap)).toList();
      }
    }
    return now;
  }

  private static List<String> swapped(List<String> group, Swap swap) {
    return group.stream().map(id -> id.equals(swap.out()) ? swap.in() : id).toList();
  }

  /** The units of a board's cell at a time, such as {@code a4, b1}; empty when not told. */
  public String unitsOf(int cell, long atMs) {
    return cell < 1 || cell > cells.size() ? "" : String.join(", ", unitsAt(atMs).get(cell - 1));
  }

  /** Rated capacity in Ah. */
  public double ratedAh() {
    return ratedMah / 1000.0;
  }

  /** Charge voltage of one cell, mV. */
  public int chargeMvPerCell() {
    return chargeMv / series;
  }

  /** Collects a plan; starts with the defaults of the chemistry. Not for use by two threads. */
  public static final class Builder {
    private final String id;
    private final Chemistry chemistry;
    private final int series;
    private final int parallel;
    private final long ratedMah;
    private String name;
    private CellLimits limits;
    private int chargeMv;
    private int tailMa;
    private CellRating cell;
    private Optional<BoardRating> board;
    private Optional<FuseRating> fuse;
    private Optional<Wire> wire;
    private OptionalInt loadMa;
    private OptionalInt chargerMa;
    private List<SensorRole> sensors;
    private int hiddenLoadMa;
    private int priorCycles;
    private boolean partialCharge;
    private List<Change> history;
    private String note;
    private List<List<String>> cells;

    private Builder(String id, Chemistry chemistry, int series, int parallel, long ratedMah) {
      this.id = id;
      this.chemistry = chemistry;
      this.series = series;
      this.parallel = parallel;
      this.ratedMah = ratedMah;
      this.name = id;
      this.limits = chemistry.limits();
      this.chargeMv = series * chemistry.chargeMv();
      this.tailMa = (int) Math.max(1, ratedMah / 20);
      this.cell = CellRating.NONE;
      this.board = Optional.empty();
      this.fuse = Optional.empty();
      this.wire = Optional.empty();
      this.loadMa = OptionalInt.empty();
      this.chargerMa = OptionalInt.empty();
      this.sensors = List.of();
      this.history = List.of();
      this.note = "";
      this.cells = List.of();
    }

    private Builder(PackPlan plan) {
      this.id = plan.id;
      this.chemistry = plan.chemistry;
      this.series = plan.series;
      this.parallel = plan.parallel;
      this.ratedMah = plan.ratedMah;
      this.name = plan.name;
      this.limits = plan.limits;
      this.chargeMv = plan.chargeMv;
      this.tailMa = plan.tailMa;
      this.cell = plan.cell;
      this.board = plan.board;
      this.fuse = plan.fuse;
      this.wire = plan.wire;
      this.loadMa = plan.loadMa;
      this.chargerMa = plan.chargerMa;
      this.sensors = plan.sensors;
      this.hiddenLoadMa = plan.hiddenLoadMa;
      this.priorCycles = plan.priorCycles;
      this.partialCharge = plan.partialCharge;
      this.history = plan.history;
      this.note = plan.note;
      this.cells = plan.cells;
    }

    public Builder name(String value) {
      name = value;
      return this;
    }

    public Builder limits(CellLimits value) {
      limits = value;
      return this;
    }

    /** Sets the charge voltage of the whole pack, mV. */
    public Builder chargeMv(int value) {
      chargeMv = value;
      return this;
    }

    /** Sets the current below which a charge counts as finished, mA. */
    public Builder tailMa(int value) {
      tailMa = value;
      return this;
    }

    public Builder cell(CellRating value) {
      cell = value;
      return this;
    }

    public Builder board(BoardRating value) {
      board = Optional.of(value);
      return this;
    }

    public Builder fuse(FuseRating value) {
      fuse = Optional.of(value);
      return this;
    }

    public Builder wire(Wire value) {
      wire = Optional.of(value);
      return this;
    }

    /** Sets the greatest continuous load, mA. */
    public Builder loadMa(int value) {
      loadMa = OptionalInt.of(value);
      return this;
    }

    /** Sets the greatest charge current, mA. */
    public Builder chargerMa(int value) {
      chargerMa = OptionalInt.of(value);
      return this;
    }

    public Builder sensors(List<SensorRole> value) {
      sensors = value;
      return this;
    }

    /** Sets the load that the board's sensor does not see, mA. */
    public Builder hiddenLoadMa(int value) {
      hiddenLoadMa = value;
      return this;
    }

    /** Sets the equivalent full cycles before this log. */
    public Builder priorCycles(int value) {
      priorCycles = value;
      return this;
    }

    /** Sets that the owner means never to charge full. */
    public Builder partialCharge(boolean value) {
      partialCharge = value;
      return this;
    }

    public Builder history(List<Change> value) {
      history = value;
      return this;
    }

    public Builder note(String value) {
      note = value;
      return this;
    }

    /** Sets what is written on the cells of each group. */
    public Builder cells(List<List<String>> value) {
      cells = value;
      return this;
    }

    public PackPlan build() {
      return new PackPlan(
          id,
          name,
          chemistry,
          series,
          parallel,
          ratedMah,
          limits,
          chargeMv,
          tailMa,
          cell,
          board,
          fuse,
          wire,
          loadMa,
          chargerMa,
          sensors,
          hiddenLoadMa,
          priorCycles,
          partialCharge,
          history,
          note,
          cells);
    }
  }
}

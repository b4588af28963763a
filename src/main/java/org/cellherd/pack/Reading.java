package org.cellherd.pack;

import java.util.Objects;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;

/**
 * One instant of one pack, as its board told it. Immutable. What the board did not tell is missing,
 * never 0. Current is <b>positive while charging</b>, always.
 */
public final class Reading implements LogEntry {

  private final long timeMs;
  private final CellVoltages cells;
  private final Temperatures temperatures;
  private final OptionalInt currentMa;
  private final OptionalInt packMv;
  private final OptionalInt socTenthPct;
  private final OptionalLong bleedMask;
  private final OptionalInt chargeSwitch;
  private final OptionalInt dischargeSwitch;
  private final OptionalInt boardMah;
  private final OptionalLong boardAlarms;

  private Reading(Builder b) {
    this.timeMs = b.timeMs;
    this.cells = b.cells;
    this.temperatures = b.temperatures;
    this.currentMa = b.currentMa;
    this.packMv = b.packMv;
    this.socTenthPct = b.socTenthPct;
    this.bleedMask = b.bleedMask;
    this.chargeSwitch = b.chargeSwitch;
    this.dischargeSwitch = b.dischargeSwitch;
    this.boardMah = b.boardMah;
    this.boardAlarms = b.boardAlarms;
  }

  /** A builder for a reading at a time in ms UTC. */
  public static Builder at(long timeMs) {
    return new Builder(timeMs);
  }

  public Reading atTime(long newTimeMs) {
    return copyAt(newTimeMs).build();
  }

  public Builder toBuilder() {
    return copyAt(timeMs);
  }

  private Builder copyAt(long newTimeMs) {
    Builder b = new Builder(newTimeMs);
    b.cells = cells;
    b.temperatures = temperatures;
    b.currentMa = currentMa;
    b.packMv = packMv;
    b.socTenthPct = socTenthPct;
    b.bleedMask = bleedMask;
    b.chargeSwitch = chargeSwitch;
    b.dischargeSwitch = dischargeSwitch;
    b.boardMah = boardMah;
    b.boardAlarms = boardAlarms;
    return b;
  }

  @Override
  public long timeMs() {
    return timeMs;
  }

  /** Cell voltages; {@link CellVoltages#NONE} when the board told none. */
  public CellVoltages cells() {
    return cells;
  }

  /** Temperatures; {@link Temperatures#NONE} when the board told none. */
  public Temperatures temperatures() {
    return temperatures;
  }

  /** Current in mA, positive while charging. */
  public OptionalInt currentMa() {
    return currentMa;
  }

  /** Pack voltage in mV as the board measured it, not the sum of cells. */
  public OptionalInt packMv() {
    return packMv;
  }

  /** The board's own state of charge in 0.1 %. */
  public OptionalInt socTenthPct() {
    return socTenthPct;
  }

  /** Bit 0 = cell 1 is bleeding. */
  public OptionalLong bleedMask() {
    return bleedMask;
  }

  /** 1 closed, 0 open. */
  public OptionalInt chargeSwitch() {
    return chargeSwitch;
  }

  /** 1 closed, 0 open. */
  public OptionalInt dischargeSwitch() {
    return dischargeSwitch;
  }

  /** The board's own charge counter in mAh. */
  public OptionalInt boardMah() {
    return boardMah;
  }

  /** The board's alarm bits. */
  public OptionalLong boardAlarms() {
    return boardAlarms;
  }

  /** The stored integer of any channel, in the unit of its kind. */
  public OptionalLong value(Channel channel) {
    return has(channel) ? OptionalLong.of(stored(channel)) : OptionalLong.empty();
  }

  /** True when a channel has a value. */
  public boolean has(Channel channel) {
    return switch (channel.kind()) {
      case CURRENT -> currentMa.isPresent();
      case PACK_VOLTAGE -> packMv.isPresent();
      case CELL -> cells.has(channel.number());
      case TEMPERATURE -> temperatures.has(channel.number());
      case SOC -> socTenthPct.isPresent();
      case BLEED_MASK -> bleedMask.isPresent();
      case CHARGE_SWITCH -> chargeSwitch.isPresent();
      case DISCHARGE_SWITCH -> dischargeSwitch.isPresent();
      case BOARD_CHARGE -> boardMah.isPresent();
      case BOARD_ALARMS -> boardAlarms.isPresent();
    };
  }

  /**
   * The stored integer of a channel, in the unit of its kind, for those that ask for all channels
   * of each reading.
   *
   * @throws RuntimeException when it has none: ask {@link #has} first
   */
  public long stored(Channel channel) {
    return switch (channel.kind()) {
      case CURRENT -> currentMa.getAsInt();
      case PACK_VOLTAGE -> packMv.getAsInt();
      case CELL -> cells.tenthMv(channel.number());
      case TEMPERATURE -> temperatures.tenthC(channel.number());
      case SOC -> socTenthPct.getAsInt();
      case BLEED_MASK -> bleedMask.getAsLong();
      case CHARGE_SWITCH -> chargeSwitch.getAsInt();
      case DISCHARGE_SWITCH -> dischargeSwitch.getAsInt();
      case BOARD_CHARGE -> boardMah.getAsInt();
      case BOARD_ALARMS -> boardAlarms.getAsLong();
    };
  }

  @Override
  public <R> R fold(Cases<R> cases) {
    return cases.reading(this);
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Reading that
        && timeMs == that.timeMs
        && cells.equals(that.cells)
        && temperatures.equals(that.temperatures)
        && currentMa.equals(that.currentMa)
        && packMv.equals(that.packMv)
        && socTenthPct.equals(that.socTenthPct)
        && bleedMask.equals(that.bleedMask)
        && chargeSwitch.equals(that.chargeSwitch)
        && dischargeSwitch.equals(that.dischargeSwitch)
        && boardMah.equals(that.boardMah)
        && boardAlarms.equals(that.boardAlarms);
  }

  @Override
  public int hashCode() {
    return Objects.hash(timeMs, cells, temperatures, currentMa, packMv);
  }

  @Override
  public String toString() {
    return "Reading[" + timeMs + " ms, " + currentMa + " mA, " + packMv + " mV, " + cells + "]";
  }

  /** Collects what the board told. Not for use by two threads. */
  public static final class Builder {
    private final long timeMs;
    private CellVoltages cells = CellVoltages.NONE;
    private Temperatures temperatures = Temperatures.NONE;
    private OptionalInt currentMa = OptionalInt.empty();
    private OptionalInt packMv = OptionalInt.empty();
    private OptionalInt socTenthPct = OptionalInt.empty();
    private OptionalLong bleedMask = OptionalLong.empty();
    private OptionalInt chargeSwitch = OptionalInt.empty();
    private OptionalInt dischargeSwitch = OptionalInt.empty();
    private OptionalInt boardMah = OptionalInt.empty();
    private OptionalLong boardAlarms = OptionalLong.empty();

    private Builder(long timeMs) {
      this.timeMs = timeMs;
    }

    public Builder cells(CellVoltages value) {
      cells = value;
      return this;
    }

    public Builder temperatures(Temperatures value) {
      temperatures = value;
      return this;
    }

    /** Sets the current in mA, positive while charging. */
    public Builder currentMa(int value) {
      currentMa = OptionalInt.of(value);
      return this;
    }

    /** Sets the pack voltage in mV. */
    public Builder packMv(int value) {
      packMv = OptionalInt.of(value);
      return this;
    }

    /** Sets the board's own state of charge in 0.1 %. */
    public Builder socTenthPct(int value) {
      socTenthPct = OptionalInt.of(value);
      return this;
    }

    /** Sets the bleed bits, bit 0 = cell 1. */
    public Builder bleedMask(long value) {
      bleedMask = OptionalLong.of(value);
      return this;
    }

    /** Sets the charge switch, true = closed. */
    public Builder chargeSwitch(boolean closed) {
      chargeSwitch = OptionalInt.of(closed ? 1 : 0);
      return this;
    }

    /** Sets the discharge switch, true = closed. */
    public Builder dischargeSwitch(boolean closed) {
      dischargeSwitch = OptionalInt.of(closed ? 1 : 0);
      return this;
    }

    /** Sets the board's own charge counter in mAh. */
    public Builder boardMah(int value) {
      boardMah = OptionalInt.of(value);
      return this;
    }

    public Builder boardAlarms(long value) {
      boardAlarms = OptionalLong.of(value);
      return this;
    }

    /**
     * Sets any quantity but cells and temperatures, which are set whole, in the unit of its kind; a
     * switch is open at 0.
     *
     * @throws IllegalArgumentException for cells and temperatures
     */
    public Builder value(Channel.Kind kind, long value) {
      return switch (kind) {
        case CURRENT -> currentMa((int) value);
        case PACK_VOLTAGE -> packMv((int) value);
        case SOC -> socTenthPct((int) value);
        case BLEED_MASK -> bleedMask(value);
        case CHARGE_SWITCH -> chargeSwitch(value != 0);
        case DISCHARGE_SWITCH -> dischargeSwitch(value != 0);
        case BOARD_CHARGE -> boardMah((int) value);
        case BOARD_ALARMS -> boardAlarms(value);
        case CELL, TEMPERATURE -> throw new IllegalArgumentException("numbered " + kind);
      };
    }

    public Reading build() {
      return new Reading(this);
    }
  }
}

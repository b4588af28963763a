package org.cellherd.protocol.sunspec;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.DecoderProvider;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterServer;

/** Decoder of SunSpec batteries; nothing has to be described. Immutable. */
final class SunSpecDecoder implements Decoder {

  /** Finds it for {@link java.util.ServiceLoader}. */
  public static final class Provider implements DecoderProvider {
    /** For the service loader. */
    public Provider() {}

    @Override
    public List<Decoder> decoders() {
      return List.of(new SunSpecDecoder());
    }
  }

  private final int string;

  public SunSpecDecoder() {
    this(0);
  }

  private SunSpecDecoder(int string) {
    this.string = string;
  }

  @Override
  public String id() {
    return string == 0 ? "sunspec" : "sunspec:" + string;
  }

  /** One string of a bank, counted from 1 in the order of the device's map. */
  @Override
  public Optional<Decoder> part(String name) {
    return name.matches("[1-9][0-9]?")
        ? Optional.of(new SunSpecDecoder(Integer.parseInt(name)))
        : Optional.empty();
  }

  @Override
  public String title() {
    return "SunSpec battery models 802 to 805 over Modbus RTU, found by themselves";
  }

  @Override
  public LineSettings line() {
    return LineSettings.DEFAULT;
  }

  @Override
  public boolean isModbusRtu() {
    return true;
  }

  @Override
  public Dialogue dialogue(int address) {
    return new SunSpecDialogue(address, string);
  }

  @Override
  public Optional<Responder> responder(int address) {
    return Optional.of(
        new RegisterServer(
            ModbusFrames.rtu(false),
            ModbusFrames.rtu(true),
            address,
            Set.of(3L),
            (function, reading) -> MapWriter.registers(reading)));
  }
}

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

  @Override
  public String id() {
    return "sunspec";
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
    return new SunSpecDialogue(address);
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

package org.cellherd.protocol.spec;

import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.modbus.RegisterServer;

/** A decoder made from a description file. Immutable. */
public final class SpecDecoder implements Decoder {
  private final Spec spec;

  public SpecDecoder(Spec spec) {
    this.spec = spec;
  }

  public Spec spec() {
    return spec;
  }

  @Override
  public String id() {
    return spec.id();
  }

  @Override
  public String title() {
    return spec.title();
  }

  @Override
  public LineSettings line() {
    return spec.line();
  }

  @Override
  public boolean isModbusRtu() {
    return spec.kind() == FrameKind.MODBUS_RTU;
  }

  @Override
  public Dialogue dialogue(int address) {
    return talk(address);
  }

  /** As {@link #dialogue}, with the means to ask one message alone. */
  SpecDialogue talk(int address) {
    return new SpecDialogue(spec, address);
  }

  @Override
  public Optional<Responder> responder(int address) {
    return Optional.of(spec.isModbus() ? registers(address) : new SpecResponder(spec, address));
  }

  private Responder registers(int address) {
    Set<Long> functions =
        spec.messages().stream().map(Message::code).collect(Collectors.toUnmodifiableSet());
    return new RegisterServer(
        spec.requests(), spec.replies(), address, functions, new RegisterMap(spec));
  }
}

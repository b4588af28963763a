package org.cellherd.protocol;

import java.util.Optional;

/**
 * What turns the bytes of one kind of board into readings: built from a description file, or found
 * by {@link java.util.ServiceLoader} through a {@link DecoderProvider}. Immutable; any thread.
 */
public interface Decoder {

  /** Name that the config uses, a-z, 0-9 and hyphen. */
  String id();

  /** One line for people. */
  String title();

  /** How the line is set unless the config says otherwise. */
  LineSettings line();

  /** True when its frames are those of Modbus RTU, so that Modbus TCP can carry them. */
  default boolean isModbusRtu() {
    return false;
  }

  /**
   * The decoder of one part of such a device, such as a string of a bank, named behind a colon
   * after this one's id; empty where there are no parts of that name.
   */
  default Optional<Decoder> part(String name) {
    return Optional.empty();
  }

  /** Begins to talk with the board at an address (0 where the board has none). */
  Dialogue dialogue(int address);

  /** The board's own side, for the simulator; empty when this decoder cannot encode. */
  Optional<Responder> responder(int address);
}

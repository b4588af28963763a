package org.cellherd.protocol.spec;

import java.util.Map;
import java.util.Optional;
import org.cellherd.toml.Suggestion;
import org.cellherd.toml.TomlTable;

/**
 * What a field's description may rest on.
 *
 * @param order usual byte order
 * @param thermistors by name
 * @param firstRegister the message's first register as documented, or -1 when it has none
 * @param registers how many registers the message has
 * @param earlier the fields of the messages before, by {@code message.field}
 * @param pages how the message comes page by page, if it does
 */
record SpecContext(
    WordOrder order,
    Map<String, Thermistor> thermistors,
    int firstRegister,
    int registers,
    Map<String, Field> earlier,
    Optional<Pages> pages) {

  SpecContext(WordOrder order, Map<String, Thermistor> thermistors) {
    this(order, thermistors, -1, 0, Map.of(), Optional.empty());
  }

  SpecContext after(Map<String, Field> fields) {
    return new SpecContext(order, thermistors, firstRegister, registers, fields, pages);
  }

  SpecContext withPages(Optional<Pages> of) {
    return new SpecContext(order, thermistors, firstRegister, registers, earlier, of);
  }

  boolean isRegisters() {
    return firstRegister >= 0;
  }

  SpecContext withRegisters(int first, int count) {
    return new SpecContext(order, thermistors, first, count, earlier, pages);
  }

  int byteOf(TomlTable table, int register) {
    int index = register - firstRegister;
    if (index < 0 || index >= registers) {
      int last = firstRegister + registers - 1;
      table.problem("register", "is " + register + ", allowed: " + firstRegister + " to " + last);
      return 0;
    }
    return 2 * index;
  }

  Conversion thermistor(TomlTable table, String name, Scaling scaling) {
    Thermistor thermistor = thermistors.get(name);
    if (thermistor == null) {
      String near = Suggestion.phrase(name, thermistors.keySet());
      table.problem("thermistor", "is \"" + name + "\", no [thermistor." + name + "]" + near);
      return scaling;
    }
    return thermistor.behind(scaling);
  }
}

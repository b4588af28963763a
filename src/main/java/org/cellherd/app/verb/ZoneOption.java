package org.cellherd.app.verb;

import java.time.DateTimeException;
import java.time.ZoneId;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** A zone on the command line, by its name in the time zone database. */
final class ZoneOption implements ITypeConverter<ZoneId> {

  @Override
  public ZoneId convert(String name) {
    try {
      return ZoneId.of(name);
    } catch (DateTimeException unknown) {
      throw new TypeConversionException(
          "\"" + name + "\" is no time zone; write one such as Europe/Berlin, UTC or +01:00");
    }
  }
}

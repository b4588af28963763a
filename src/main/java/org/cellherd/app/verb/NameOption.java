package org.cellherd.app.verb;

import org.cellherd.pack.PlainText;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** A person's name: something to read, and nothing that a terminal obeys. */
final class NameOption implements ITypeConverter<String> {

  @Override
  public String convert(String text) {
    String name = PlainText.spaced(text).strip();
    if (name.isEmpty()) {
      throw new TypeConversionException("the name is empty; leave the option out for the user's");
    }
    return name;
  }
}

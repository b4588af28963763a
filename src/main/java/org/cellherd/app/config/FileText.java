package org.cellherd.app.config;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.toml.TomlDocument;

/** Reads the small text files that users give us. */
public final class FileText {

  private FileText() {}

  /** The first bytes of a file; a device or a pipe tells no size and may never end. */
  static byte[] start(Path file, int most) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      return in.readNBytes(most);
    }
  }

  /** Text without the mark that some editors put before it. */
  static String text(byte[] utf8) throws CharacterCodingException {
    String text = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(utf8)).toString();
    return text.startsWith("\uFEFF") ? text.substring(1) : text;
  }

  /**
   * The whole text of a file, without a byte order mark.
   *
   * @throws Stop with exit code 2 and the reason when it cannot be read
   */
  public static String read(Path file) {
    try {
      if (Files.isDirectory(file)) {
        throw Stop.usage(file + ": is a directory, a file is wanted");
      }
      byte[] bytes = start(file, TomlDocument.MOST_CHARACTERS + 1);
      if (bytes.length > TomlDocument.MOST_CHARACTERS) {
        throw Stop.usage(file + ": is too long, at most 1 MiB is read");
      }
      return text(bytes);
    } catch (CharacterCodingException notText) {
      throw Stop.usage(file + ": is no UTF-8 text");
    } catch (IOException unreadable) {
      throw FileCause.unreadable(file, unreadable);
    }
  }
}

package org.cellherd.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.LinkedHashSet;
import java.util.Set;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonText;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.Facts;

/** A small file beside the log, replaced whole: after a torn write the old one stands. */
public final class BrokerFile implements BrokerMemory {

  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");
  private static final JsonReader READER =
      new JsonReader(new JsonReader.Limits(8_000_000, 4, 65_535, 100_000));

  private final Path file;
  private final Path fresh;

  private BrokerFile(Path file) {
    this.file = file;
    this.fresh = file.resolveSibling(file.getFileName() + ".new");
  }

  /** {@code FILE-broker} of the log {@code FILE}. */
  public static BrokerFile beside(Path log) {
    return new BrokerFile(log.resolveSibling(log.getFileName() + "-broker"));
  }

  @Override
  public KeptAtBroker recall() {
    try (InputStream in = Files.newInputStream(file)) {
      JsonValue value = READER.read(in);
      Set<String> topics = new LinkedHashSet<>();
      for (JsonValue topic : value.items("topics")) {
        if (topic instanceof JsonValue.JsonString text && isTopic(text.value())) {
          topics.add(text.value());
        }
      }
      return new KeptAtBroker(
          topics,
          value.get("description_version").isEmpty()
              ? 0
              : Math.max(0, value.whole("description_version").orElse(0)),
          value.text("description_digest").orElse(""));
    } catch (NoSuchFileException first) {
      return KeptAtBroker.NOTHING;
    } catch (IOException | JsonReader.Problem unreadable) {
      LOG.log(
          System.Logger.Level.WARNING,
          "%s: cannot be read (%s); what earlier runs left at the broker stays there"
              .formatted(file, unreadable.getMessage()));
      return KeptAtBroker.NOTHING;
    }
  }

  private static boolean isTopic(String text) {
    return !text.isEmpty() && !text.startsWith("$") && !text.matches("(?s).*[+#\\x00].*");
  }

  @Override
  public void remember(KeptAtBroker kept) throws IOException {
    String json =
        JsonText.of(
            Facts.of()
                .put("description_version", kept.descriptionVersion())
                .put("description_digest", kept.descriptionDigest())
                .put("topics", kept.topics().stream().toList())
                .build());
    try (FileChannel channel =
        FileChannel.open(
            fresh,
            StandardOpenOption.CREATE,
            StandardOpenOption.WRITE,
            StandardOpenOption.TRUNCATE_EXISTING)) {
      ByteBuffer bytes = ByteBuffer.wrap(json.getBytes(StandardCharsets.UTF_8));
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
      channel.force(true);
    }
    Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
  }
}

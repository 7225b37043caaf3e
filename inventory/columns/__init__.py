"""What the columns of a barn's lists mean: their headings, how a cell is read, how a record is written."""

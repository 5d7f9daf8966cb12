"""What is kept between socks: tables, their migrations, and the four ways to write a row."""

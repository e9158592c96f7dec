"""What past panels show: how estimates came out, over time and panel by panel."""
